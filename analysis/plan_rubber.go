package analysis

// Rubber says how much rubber to weigh. Net = box − displaced + bulge; mass_g
// is the likely mass to weigh out with the allowance in it.
type Rubber struct {
	Material       string   `json:"material"` // shelf key
	MaterialName   string   `json:"material_name"`
	DensityGPerCM3 float64  `json:"density_g_cm3"`
	BoxVolumeMM3   float64  `json:"box_volume_mm3"` // up to the rubber level
	DisplacedMM3   float64  `json:"displaced_mm3"`  // pattern + stem + posts below the level
	NetMM3         float64  `json:"net_mm3"`
	BulgeMM3       *float64 `json:"bulge_mm3"`
	AllowanceG     float64  `json:"allowance_g"`
	AllowanceRule  string   `json:"allowance_rule"`
	MassG          float64  `json:"mass_g"`
	LowG           float64  `json:"low_g"`
	HighG          float64  `json:"high_g"`
	Enough         float64  `json:"enough"` // chance that mass_g is enough when nothing leaks, 0–1
	RuleG          float64  `json:"rule_g"` // L×W×level × 18.5 g/in³, nothing subtracted
	RatioA         float64  `json:"ratio_a"`
	RatioB         float64  `json:"ratio_b"` // by weight
	Batches        []Batch  `json:"batches"`
	RoomC          float64  `json:"room_c"`     // temperature of the room
	PotLifeS       float64  `json:"pot_life_s"` // in that room
	DemoldS        float64  `json:"demold_s"`
	TimeNeededS    *float64 `json:"time_needed_s"`
	Marks          []Mark   `json:"marks"`
	FilledBoxG     *float64 `json:"filled_box_g"`
	BlockG         float64  `json:"block_g"`   // cured rubber alone
	OwnPours       int      `json:"own_pours"` // of the maker's, that density and film were learned from
	Buy            Buy      `json:"buy"`
}

// Batch is one weighing.
type Batch struct {
	AG      float64  `json:"a_g"`
	BG      float64  `json:"b_g"`
	TotalG  float64  `json:"total_g"`
	AMM3    *float64 `json:"a_mm3"` // the same by volume; null for rubber that must be weighed
	BMM3    *float64 `json:"b_mm3"`
	LevelMM float64  `json:"level_mm"` // where the rubber stands after it
}

// Mark is a level to draw on the inside of the wall.
type Mark struct {
	LevelMM   float64 `json:"level_mm"`   // above the board
	RubberMM3 float64 `json:"rubber_mm3"` // rubber in the box up to it
	MassG     float64 `json:"mass_g"`     // the same as mass
}

// Buy is which packs to buy: enough for the high end of the range.
type Buy struct {
	NeedG  float64  `json:"need_g"` // what the packs have to hold
	Packs  []Pack   `json:"packs"`  // empty where the sizes are not known
	TotalG float64  `json:"total_g"`
	LeftG  float64  `json:"left_g"` // when the likely mass is used
	Cost   *float64 `json:"cost"`   // in the currency of the shelf's price; null where that has none
}

// Pack is a size of pack and how many of it.
type Pack struct {
	MassG float64 `json:"mass_g"` // A and B together
	Count int     `json:"count"`
}
