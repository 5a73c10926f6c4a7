// Package sheet writes the job sheet: one HTML file to pin above the bench,
// in the order of the work, that needs nothing else to be read or printed.
// It shows a Plan and computes nothing but how to show it.
package sheet

import (
	"bytes"
	"embed"
	"encoding/base64"
	"errors"
	"html/template"
	"io"
	"math"
	"sync"
	"time"

	"pourwright/analysis"
	"pourwright/render/say"
)

// Options says how a plan is shown.
type Options struct {
	Show       say.Style // units shown
	PreviewPNG []byte    // picture of the job; none leaves it out
	Made       time.Time // date on the sheet; zero leaves it out
}

//go:embed sheet.html prepare.html box.html stand.html pour.html open.html bed.html part.html cast.html fill.html notes.html sheet.css
var files embed.FS

// sheet is parsed when it is first needed: most commands write none.
var sheet = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("sheet.html").Funcs(functions).ParseFS(files, "*.html"))
})

var functions = template.FuncMap{
	"angle":    say.Angle,
	"letter":   letter,
	"side":     side,
	"count":    say.Count,
	"duration": duration,
	"grams":    grams,
	"number":   say.Number,
	"lines":    lines,
	"minus":    func(n int) int { return -n },
	"money":    func(x float64) string { return keep(say.Number(math.Round(x))) },
	"percent":  say.Percent,
	"ratio":    ratio,
	"add":      func(a, b int) int { return a + b },
	"pair":     func(a, b float64) []float64 { return []float64{a, b} },
	"slice3":   func(a [3]float64) []float64 { return a[:] },
}

// page is what the templates see: the plan, and what is only there to show it.
type page struct {
	*analysis.Plan
	Say      units
	Styles   template.CSS
	Picture  template.URL
	Made     string
	Verdict  verdict
	Doubts   []doubts
	Ways     []way
	Posts    []post
	Unvented []trapPlace
	Hidden   []trapPlace // air under the pattern while rubber is poured
	Sum      sums
	Spout    place
	Walls    []wallRow
	Bows     []wallBow
	Fill     []filler
	Sheets   []sheetMap
	Stock    []stock
	Holding  holding
	TiltBox  *tilting // while rubber is poured
	TiltCast *tilting // while casting
	Passages []passage
	Tips     []tip
	Filling  []wayToFill
	Stiff    *rodWords
	Finished []finished
	Times    []clockStep
	Thick    *histogram
	Webs     []thinPlace
	CastThin []thinPlace
	Cutting  cutWords
	Opening  opening
	Map      *boardMap
	Strip    *strip
	Face     *cutFace
	Bed      bedWords
	BedMap   *bedMap
}

// Write writes the job sheet of p to w as one self-contained HTML file.
func Write(w io.Writer, p *analysis.Plan, o Options) error {
	if p == nil {
		return errors.New("there is no plan to write a job sheet of")
	}
	styles, err := files.ReadFile("sheet.css")
	if err != nil {
		return err
	}
	view := newPage(p, o)
	view.Styles = template.CSS(styles)
	var out bytes.Buffer
	if err := sheet().Execute(&out, view); err != nil {
		return err
	}
	_, err = w.Write(out.Bytes())
	return err
}

func newPage(p *analysis.Plan, o Options) *page {
	show := units{o.Show}
	v := &page{
		Plan:     p,
		Say:      show,
		Verdict:  judge(p),
		Doubts:   groupDoubts(p, show),
		Ways:     waysUp(p),
		Posts:    posts(p),
		Unvented: trapPlaces(p, show, p.CastTrap, wordTilt(p, p.Air.Tilt.Cast)),
		Hidden:   trapPlaces(p, show, p.RubberTrap, wordTilt(p, p.Air.Tilt.Rubber)),
		Sum:      sum(p),
		Spout:    placeOf(p, spoutInBox(p)),
		Walls:    wallRows(p),
		Bows:     wallBows(p, show),
		Fill:     fillers(p),
		Sheets:   drawSheets(p),
		Stock:    stocks(p),
		Holding:  wordHolding(p),
		TiltBox:  wordTilt(p, p.Air.Tilt.Rubber),
		TiltCast: wordTilt(p, p.Air.Tilt.Cast),
		Passages: passages(p, show),
		Tips:     tips(p, show),
		Filling:  waysToFill(p, show),
		Stiff:    wordRod(p, show),
		Times:    timetable(p),
		Thick:    drawThickness(p.Wall, show),
		Webs:     webs(p, show),
		CastThin: castThin(p, show),
		Cutting:  wordCut(p, show),
		Opening:  wordOpening(p, show),
		Finished: finishedIn(p, show),
		Bed:      wordBed(p, show),
		BedMap:   drawBed(p, show),
	}
	if v.Hollow() { // how a full mold fills is no matter
		v.Tips, v.Filling = nil, nil
	}
	if p.TwoPart == nil {
		v.Map, v.Strip, v.Face = drawBoard(p), drawStrip(p, show), drawCut(p, o.Show)
	}
	if len(o.PreviewPNG) > 0 {
		v.Picture = template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(o.PreviewPNG))
	}
	if !o.Made.IsZero() {
		v.Made = o.Made.Format("2 January 2006")
	}
	return v
}

// Title is the name of the job.
func (v *page) Title() string {
	if v.Name == "" {
		return "Unnamed job"
	}
	return v.Name
}
