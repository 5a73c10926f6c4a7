package sheet

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"errors"
	"html"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"pourwright/analysis"
	"pourwright/analysis/finding"
	"pourwright/render/say"
)

func written(t testing.TB, p *analysis.Plan, o Options) string {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, p, o); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

var tags = regexp.MustCompile(`<[^>]*>`)

// shown is the text that a reader sees, with plain spaces.
func shown(t testing.TB, page string) string {
	t.Helper()
	_, body, found := strings.Cut(page, "<body>")
	if !found {
		t.Fatal("no body")
	}
	text := html.UnescapeString(tags.ReplaceAllString(body, " "))
	text = strings.NewReplacer("\u00a0", " ", "\u2060", "").Replace(text)
	text = strings.Join(strings.Fields(text), " ")
	return strings.NewReplacer(" .", ".", " ,", ",", " :", ":").Replace(text)
}

// Every figure that a maker acts on is on the sheet, in the wording of the
// plan's fixture worked out by hand (inches: mm / 25.4).
func TestFiguresAreOnTheSheet(t *testing.T) {
	page := written(t, gull(), Options{PreviewPNG: picture(t), Made: time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)})
	text := shown(t, page)
	for what, want := range map[string]string{
		"name":              "gull-headed-cane",
		"date":              "25 November 2026",
		"version":           "Pourwright 0.1.0",
		"verdict":           "Good to go, once checked. Check 2 things first:",
		"size":              "214 × 88 × 46 mm (8 7/16 × 3 1/2 × 1 13/16 in)",
		"volume":            "191 ± 2 mL (11.7 ± 0.2 in³)",
		"caliper":           "It must read 214 mm (8 7/16 in).",
		"units":             "We guessed that one unit of the file is 1 mm",
		"fault":             "One loose scrap of 12 triangles",
		"rubber to buy":     "2.79–3.22 kg (6.15–7.10 lb)",
		"parts to buy":      "A 2707 g, B 271 g",
		"board to buy":      "0.17 m² (1.87 ft²)",
		"rod to buy":        "Rod for 2 posts, 5 mm (3/16 in) across 311 mm (12 1/4 in)",
		"inside":            "132 × 84 mm (5 1/4 × 3 5/16 in)",
		"wall height":       "Walls, high 246 mm (9 11/16 in)",
		"side panel":        "side Covers the edges of the ends. 2 168 × 246 mm (6 5/8 × 9 11/16 in) 18 mm",
		"base panel":        "base board Reaches 40 mm past the box all round. 1 248 × 200 mm",
		"thin wall":         "Front (thin) 16 mm (5/8 in) 7.2 mm (5/16 in)",
		"down":              "Down goes the scan's −y side.",
		"spout":             "Here the spout will be, 26 mm (1 1/16 in) across.",
		"spout place":       "Middle of the spout 45 mm (1 3/4 in) from the left end 45 mm (1 3/4 in) from the front",
		"upright post":      "1 5 mm (3/16 in) 138 mm (5 7/16 in) 22 mm (7/8 in) from the right end 40 mm (1 9/16 in) from the front upright",
		"leaning post":      "2 5 mm (3/16 in) 173 mm (6 13/16 in) 14 mm (9/16 in) from the left end 22 mm (7/8 in) from the back leans 6.6°, its upper end towards the right end and the front set 4.2 mm (3/16 in) beside",
		"ratio":             "by weight 10: 1",
		"pot life":          "45 min",
		"time needed":       "One batch takes 21 min",
		"batch":             "Batch 3 993 g in all A 902 g B 90.2 g Rubber then stands at 234 mm (9 3/16 in).",
		"total":             "Likely in all, with 142 g spare 2978 g",
		"rule":              "The shop's rule says 2929 g",
		"density":           "1.18 g/cm³",
		"blanks":            "Lot A Lot B Start Stop Temp",
		"mark":              "120 mm (4 3/4 in) 1.26 L (42.7 US fl oz) 1489 g",
		"strip":             "Not to scale: measure each from the board.",
		"level":             "Stop at the top mark, 234 mm (9 3/16 in)",
		"demold":            "Leave it 24 h",
		"hidden air":        "97 mm (3 13/16 in) from the left end, 42 mm (1 5/8 in) from the front, 152 mm (6 in) above the board: up to 0.24 mL",
		"weight":            "The full box weighs about 5.32 kg (11.7 lb).",
		"cut":               "The cut is one upright plane. It runs along the block, turned by 2°.",
		"cut mark left":     "Left end wall: 47 mm (1 13/16 in) from the front",
		"cut mark right":    "Right end wall: 42 mm (1 5/8 in) from the front",
		"outline":           "Seam, round the part 564 mm (22 3/16 in)",
		"undercut":          "2.4 mL (0.15 in³) on one side, 3.1 mL (0.19 in³) on the other",
		"vents":             "2 vents must be open",
		"no vent":           "74 mm (2 15/16 in) from the left end, 45 mm (1 3/4 in) from the front, 190 mm (7 1/2 in) above the board: up to 0.062 mL",
		"cavity":            "To fill: part and vents 198 mL (6.68 US fl oz)", // 197.5e3 / 29573.53
		"cavity to buy":     "for this cavity. 198 mL (6.68 US fl oz)",
		"cavity on label":   "cavity 198 mL (6.68 US fl oz)",
		"detail cut":        "564 mm (22 3/16 in), 8 % of it on fine detail",
		"vents to the rim":  "Bring every vent to the height",
		"glove":             "wear a cut-resistant glove",
		"foam":              "Foam holds isocyanates, which can cause asthma for life.",
		"blade":             "Cut away from yourself",
		"vacuum":            "For vacuum use only a vessel and lid made for it",
		"data sheet":        "The product's safety data sheet and technical data sheet, local rules and licensed practice come before",
		"caution of plan":   "Sanding and trimming casts makes harmful dust",
		"alternative":       "Tilted by a third the beak frees its air, but the shaft needs a stem.",
		"alternative score": "Other 4 67",
		"unsure":            "Worth knowing A small air trap above the eye has no room for a post. Tilt and tap the mold while it fills. Where: 74 mm",
		"basis":             "rubber.mass_g 2403000 mm³ × 1.18 g/cm³, and 142 g allowance box less part",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%s: %q is not on the sheet", what, want)
		}
	}
	if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") || strings.Contains(text, "%!") {
		t.Error("the sheet holds an unformatted figure")
	}
}

// The sheet loads nothing: no address, no script, and pictures only as data.
func TestSelfContained(t *testing.T) {
	page := written(t, gull(), Options{PreviewPNG: picture(t)})
	for _, banned := range []string{"http:", "https:", "//www", "<script", "<link", "<iframe", "@import", "url(", "javascript:", " on"} {
		if banned == " on" {
			if regexp.MustCompile(`<[^>]*\son\w+=`).MatchString(page) {
				t.Error("an element has an event handler")
			}
			continue
		}
		if strings.Contains(page, banned) {
			t.Errorf("the sheet holds %q", banned)
		}
	}
	sources := regexp.MustCompile(`(?:src|href)="([^"]*)"`).FindAllStringSubmatch(page, -1)
	if len(sources) != 1 {
		t.Fatalf("have %d sources, want the picture only", len(sources))
	}
	data, found := strings.CutPrefix(html.UnescapeString(sources[0][1]), "data:image/png;base64,")
	have, err := base64.StdEncoding.DecodeString(data)
	if !found || err != nil || !bytes.Equal(have, picture(t)) {
		t.Errorf("the picture does not come back from the sheet: %v", err)
	}
}

// The pages parse as XML too, so every element that is opened is closed.
func TestWellFormed(t *testing.T) {
	stem := gull()
	stem.Stand.StemMM, stem.Cut.Normal = 20, [3]float64{1, 0, 0}
	for name, page := range map[string]string{
		"gull":  written(t, gull(), Options{PreviewPNG: picture(t)}),
		"stem":  written(t, stem, Options{Show: say.Inch}),
		"empty": written(t, &analysis.Plan{}, Options{}),
	} {
		wellFormed(t, name, page)
	}
}

func wellFormed(t *testing.T, name, page string) {
	t.Helper()
	decoder := xml.NewDecoder(strings.NewReader(page))
	for {
		if _, err := decoder.Token(); errors.Is(err, io.EOF) {
			return
		} else if err != nil {
			t.Errorf("%s: %v", name, err)
			return
		}
	}
}

func TestNamesAreEscaped(t *testing.T) {
	const nasty = `</style><script>alert("x")</script><b>&'`
	p := gull()
	p.Name, p.Scan.File, p.Stand.Why, p.Rubber.MaterialName = nasty, nasty, nasty, nasty
	p.Cautions, p.Box.Panels[0].Name, p.Cast.Material = []string{nasty}, nasty, nasty
	p.Findings = []finding.Finding{{Level: finding.Level(nasty), Text: nasty, Action: nasty}}
	p.Basis = []analysis.Basis{{Key: nasty, From: nasty, Rule: nasty}}
	page := written(t, p, Options{})
	if strings.Contains(page, "<script") || strings.Contains(page, "<b>&") {
		t.Error("a name of the plan became markup")
	}
	if strings.Count(page, "</style>") != 1 {
		t.Error("a name of the plan ends the style sheet")
	}
	if !strings.Contains(shown(t, page), `alert("x")`) {
		t.Error("the name is not shown as it is")
	}
}

// A plan with next to nothing in it is written, and does not say go.
func TestEmptyPlan(t *testing.T) {
	text := shown(t, written(t, &analysis.Plan{}, Options{}))
	for _, want := range []string{"Unnamed job", "Stop. This plan is not complete.", "No cut list was made.", "No batches were planned.",
		"No cut was found.", "No vents are needed.", "Nothing was flagged.", "see data sheet", "not known"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the empty sheet", want)
		}
	}
	for _, absent := range []string{"Other ways up", "Where the numbers come from", "Good to go", "2 January"} {
		if strings.Contains(text, absent) {
			t.Errorf("%q is on the empty sheet", absent)
		}
	}
	if err := Write(io.Discard, nil, Options{}); err == nil {
		t.Error("no plan: no error")
	}
}

// Figures that are not numbers must not break or mislead.
func TestOddFigures(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), -1, 1e-30, 1e30} {
		p := gull()
		p.Box.InsideMM = [3]float64{x, x, x}
		p.Box.WallHeightMM, p.Box.RubberLevelMM = x, x
		p.Cut.Normal, p.Stand.SpoutDiameterMM, p.Stand.Score = [3]float64{x, 0, 0}, x, x
		p.Cut.Outline[0][3][2], p.Rubber.MassG, p.Stand.Down = x, x, [3]float64{x, x, x}
		p.Rubber.Marks[0].LevelMM, p.CastTrap[0].Vent.FromMM[2] = x, x
		page := written(t, p, Options{})
		if strings.Contains(page, "NaN") || strings.Contains(page, "Inf") {
			at := regexp.MustCompile(`.{0,60}(NaN|Inf).{0,30}`).FindString(page)
			t.Errorf("%g: the sheet reads %q", x, at)
		}
	}
}

func TestStopComesFirst(t *testing.T) {
	p := gull()
	p.Findings = append(p.Findings, finding.Finding{Level: finding.Stop, Text: "The part floats.", Action: "Screw it down."})
	text := shown(t, written(t, p, Options{}))
	want := "Stop. Do not pour yet. First settle 1 thing: The part floats. Screw it down. Then check 2 more things"
	if !strings.Contains(text, want) {
		t.Errorf("the verdict does not read %q", want)
	}
	if strings.Index(text, "Settle before pouring") > strings.Index(text, "Check before going on") {
		t.Error("the worst findings do not come first")
	}
}

func TestOneSystemOnly(t *testing.T) {
	metric := shown(t, written(t, gull(), Options{Show: say.Metric}))
	if strings.Contains(metric, " in)") || strings.Contains(metric, " lb") || strings.Contains(metric, "fl oz") {
		t.Error("the metric sheet shows inches or pounds")
	}
	inch := shown(t, written(t, gull(), Options{Show: say.Inch}))
	if !strings.Contains(inch, "5 1/4 × 3 5/16 in") || !strings.Contains(inch, "A 902 g") {
		t.Error("the inch sheet must show inches, and grams to weigh")
	}
}

func TestSameSheetTwice(t *testing.T) {
	o := Options{PreviewPNG: picture(t), Made: time.Unix(1e9, 0).UTC()}
	first := written(t, gull(), o)
	if again := written(t, gull(), o); first != again {
		t.Error("two sheets of one plan differ")
	}
}
