package sums

import (
	"fmt"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/optics"
)

func pictureSum() measure.Sum {
	return define(measure.Sum{
		Name:    "picture",
		Summary: "width and height of a picture, throw distance, farthest viewer",
		Example: "faultbook calc picture --diagonal 85in --aspect 16:9 --viewer 6m",
		Inputs: []measure.Input{
			figure("diagonal", "mm", 10, 100000, "diagonal, such as 85in or 2.1m", ""),
			figure("width", "mm", 10, 100000, "width instead of the diagonal", ""),
			text("aspect", "16:9, 16:10, 4:3, 21:9", "16:9"),
			figure("throw-ratio", "", 0.1, 10, "throw ratio of the projector", ""),
			figure("element", "%", 0.1, 50, "share of the height that the smallest element takes", ""),
			figure("viewer", "m", 0.1, 1000, "distance of the farthest viewer", ""),
			count("lines", 100, 20000, "lines of the picture", "1080"),
		},
		Facts: []measure.FactName{yesFact("picture-large-enough", "the farthest viewer is within six picture heights, or within the element rule if given")},
	}, workPicture)
}

// readAspect reads "16:9".
func readAspect(t string) (across, down float64, err error) {
	a, b, found := strings.Cut(t, ":")
	across, errA := measure.Parse(a, "")
	down, errB := measure.Parse(b, "")
	if !found || errA != nil || errB != nil || across <= 0 || down <= 0 || across/down > 10 || down/across > 10 {
		return 0, 0, fmt.Errorf("%q is not an aspect such as 16:9", t)
	}
	return across, down, nil
}

// readSize gives width and height in mm from diagonal or width.
func readSize(g *measure.Given) (width, height float64, err error) {
	across, down, err := readAspect(g.Text("aspect"))
	if err != nil {
		return 0, 0, measure.BadInput("aspect", "%w", err)
	}
	if g.Has("diagonal") == g.Has("width") {
		return 0, 0, measure.BadInput("diagonal", "give either the diagonal or the width of the picture")
	}
	if g.Has("width") {
		return g.Figure("width"), g.Figure("width") * down / across, nil
	}
	width, height = optics.Size(g.Figure("diagonal"), across, down)
	return width, height, nil
}

func workPicture(g *measure.Given, r *result) error {
	width, height, err := readSize(g)
	if err != nil {
		return err
	}
	r.out("width", width, "mm", 0)
	r.out("height", height, "mm", 0)
	r.Formula = "width = diagonal × a / √(a² + b²); throw = ratio × width; farthest = height × 4 (detail), × 6 (reading), × 8 (viewing)"
	r.src("O-001", measure.Computed)
	r.src("O-007", measure.Practice)
	if g.Has("throw-ratio") {
		r.out("throw_distance", optics.Throw(g.Figure("throw-ratio"), width)/1000, "m", 3)
		r.src("O-003", measure.Computed)
	}
	for _, task := range []string{"detail", "reading", "viewing"} {
		r.out("farthest_"+task, optics.Farthest(task, height)/1000, "m", 2)
	}
	limit, rule := optics.Farthest("reading", height)/1000, "six picture heights (reading)"
	if g.Has("element") {
		limit, rule = optics.FarthestByElement(height, g.Figure("element"))/1000, "the element-height method"
		r.out("farthest_by_element", limit, "m", 2)
		r.src("O-008", "from memory (ANSI/INFOCOMM V202.01:2016); computed")
	}
	r.out("single_pixels_seen_to", optics.PixelLimit(height, g.Count("lines"))/1000, "m", 2)
	r.src("O-010", "computed; acuity "+measure.Practice)
	r.judge(measure.Unknown, "The picture is %s x %s; no viewer was given to judge it by.", measure.Show(width, "mm", 0), measure.Show(height, "mm", 0))
	if g.Has("viewer") {
		viewer := g.Figure("viewer")
		ok := measure.Within(viewer, limit)
		r.part("farthest viewer", viewer, limit, "m", ok)
		r.fact("picture-large-enough", ok)
		verb := "within"
		if !ok {
			verb = "beyond"
		}
		r.judge(passOrFail(ok), "A viewer at %s is %s %s, which end at %s.", measure.Show(viewer, "m", 2), verb, rule, measure.Show(limit, "m", 2))
	}
	return nil
}

func luminanceSum() measure.Sum {
	return define(measure.Sum{
		Name:    "luminance",
		Summary: "white of a projected picture and its contrast in the lit room",
		Example: "faultbook calc luminance --lumens 5000lm --width 2m --room 20cd/m2 --viewing decisions",
		Inputs: []measure.Input{
			required(figure("lumens", "lm", 1, 1e6, "light of the projector as it is now", "")),
			figure("diagonal", "mm", 10, 100000, "diagonal of the picture", ""),
			figure("width", "mm", 10, 100000, "width instead of the diagonal", ""),
			text("aspect", "16:9, 16:10, 4:3", "16:9"),
			figure("gain", "", 0.1, 10, "gain of the screen", "1"),
			figure("room", "cd/m2", 0, 100000, "luminance of the switched-off picture in the lit room (nit, fL too)", ""),
			figure("own-contrast", "", 2, 1e7, "contrast of the projector in the dark", "1000"),
			word("viewing", optics.Viewings(), "what the picture is for: passive 7:1, decisions 15:1, analysis 50:1, video 80:1", "decisions"),
		},
		Facts: []measure.FactName{yesFact("contrast-enough", "contrast in the lit room is enough for the viewing")},
	}, workLuminance)
}

func workLuminance(g *measure.Given, r *result) error {
	width, height, err := readSize(g)
	if err != nil {
		return err
	}
	white := optics.Luminance(g.Figure("lumens"), g.Figure("gain"), width*height/1e6)
	r.out("white", white, "cd/m2", 1)
	r.out("white_fl", white/optics.CandelaPerFootLambert, "fL", 1)
	r.out("area", width*height/1e6, "m2", 3)
	r.Formula = "white = lumens × gain / (π × area); contrast = (white + room) / (white / own contrast + room)"
	r.src("O-004", measure.Computed)
	r.note("a lamp falls to half at the end of its rated life (%s)", measure.Practice)
	if !g.Has("room") {
		r.judge(measure.Unknown, "White has %s; no room light was given to judge the contrast by.", measure.Show(white, "cd/m2", 0))
		return nil
	}
	contrast := optics.Contrast(white, white/g.Figure("own-contrast"), g.Figure("room"))
	least := optics.Viewing(g.Text("viewing")).LeastContrast()
	ok := measure.Within(least, contrast)
	r.out("contrast", contrast, ":1", 1)
	r.part("contrast that is needed", least, contrast, ":1", ok)
	r.src("O-006", "from memory (ANSI/INFOCOMM 3M-2011)")
	r.fact("contrast-enough", ok)
	if ok {
		r.judge(measure.Pass, "The contrast in the lit room is %s, enough for %s (%s).", measure.Show(contrast, ":1", 1), g.Text("viewing"), measure.Show(least, ":1", 0))
	} else {
		r.judge(measure.Fail, "The contrast in the lit room is %s, less than %s needs (%s): less room light, more light or a smaller picture.",
			measure.Show(contrast, ":1", 1), g.Text("viewing"), measure.Show(least, ":1", 0))
	}
	return nil
}

func legibilitySum() measure.Sum {
	return define(measure.Sum{
		Name:    "legibility",
		Summary: "can text of a height be read from a distance",
		Example: "faultbook calc legibility --letter 10mm --distance 3m",
		Inputs: []measure.Input{
			required(figure("letter", "mm", 0.1, 10000, "height of the letters on the picture", "")),
			required(figure("distance", "m", 0.1, 1000, "distance of the reader", "")),
		},
		Facts: []measure.FactName{yesFact("text-legible", "the letters are at least 10 minutes of arc")},
	}, func(g *measure.Given, r *result) error {
		minutes := optics.Minutes(g.Figure("letter"), g.Figure("distance")*1000)
		r.out("angle", minutes, "arcmin", 1)
		r.out("readable_to", optics.DistanceFor(g.Figure("letter"), optics.TextLeast)/1000, "m", 2)
		r.out("easily_to", optics.DistanceFor(g.Figure("letter"), optics.TextGood)/1000, "m", 2)
		r.Formula = "angle in minutes = 3438 × letter / distance; 10 at least, 15 for ease"
		r.src("O-009", "computed; limits "+measure.Practice)
		r.part("least of 10 minutes", optics.TextLeast, minutes, "arcmin", measure.Within(optics.TextLeast, minutes))
		r.part("ease of 15 minutes", optics.TextGood, minutes, "arcmin", measure.Within(optics.TextGood, minutes))
		r.fact("text-legible", measure.Within(optics.TextLeast, minutes))
		shown := measure.Show(minutes, "minutes of arc", 1)
		switch {
		case !measure.Within(optics.TextLeast, minutes):
			r.judge(measure.Fail, "The letters are too small to read: %s, 10 at least.", shown)
		case !measure.Within(optics.TextGood, minutes):
			r.judge(measure.Tight, "The letters can be read, but not with ease: %s of 15.", shown)
		default:
			r.judge(measure.Pass, "The letters are easily read: %s.", shown)
		}
		return nil
	})
}
