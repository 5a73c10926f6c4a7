package shelf

// DataSheetFirst is the caution that outranks all others.
const DataSheetFirst = "The product's safety data sheet and technical data sheet, local rules and licensed practice come before anything printed here."

// OpeningBlock is the caution of cutting a block open.
const OpeningBlock = "Opening the block: fresh blade, cut away from yourself, cut-resistant glove on the hand that holds."

// Cautions returns the usual cautions of molding with this rubber, as short
// sentences, DataSheetFirst first. Basis: common practice, no source.
func (r Rubber) Cautions() []string {
	all := []string{
		DataSheetFirst,
		"Wear nitrile gloves and eye protection, work with good ventilation, and keep the liquid parts off skin and out of eyes.",
		"Weigh both parts on a scale, never by eye or by volume unless the data sheet gives a ratio by volume.",
		"Test the rubber on an unseen spot of the pattern for a day before the pour.",
	}
	if r.Cure == Platinum {
		all = append(all,
			"Platinum-cure rubber stays sticky against sulphur clay, latex gloves, tin-cure rubber and fresh resin prints: keep them all away from it.")
	} else {
		all = append(all,
			"The tin catalyst is the more harmful of the two parts: keep it off skin, do not breathe its vapour, and let a new mold air before you cast in it.",
			"Seal sulphur clay behind a fully dry acrylic coat, and let sealers dry for days, before tin-cure rubber touches them.")
	}
	return append(all,
		"Use only a vacuum vessel and lid that are rated for it, undamaged, behind eye protection.",
		OpeningBlock)
}

// Cautions returns the usual cautions of casting this material, as short
// sentences to print after the rubber's. Basis: common practice, no source; the
// training is asked for by Commission Regulation (EU) 2020/1149 (from memory).
func (c Casting) Cautions() []string {
	all := []string{
		"Many casting resins and all polyurethane foams hold isocyanates, which can cause asthma for life: only trained people use them, with extraction or an approved respirator, as the safety data sheet says.",
		"In the European Union, work use of mixes with 0.1 % or more diisocyanate needs completed training.",
		"Sanding and trimming casts makes harmful dust: extraction and a dust mask.",
	}
	if c.Kind == Foam {
		return append(all,
			"Rising foam pushes hard on the mold: strap the block in its box and weigh or clamp the lid.",
			"Foam collapses in a tin-cure mold that is too fresh: cure and air the mold as its data sheet says, then cast a test.")
	}
	return append(all, "Thick casts of resin get hot: follow the largest thickness on the data sheet.")
}
