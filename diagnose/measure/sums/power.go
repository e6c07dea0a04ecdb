package sums

import (
	"fmt"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/power"
)

func voltageDropSum() measure.Sum {
	return define(measure.Sum{
		Name:    "voltage-drop",
		Summary: "voltage lost on a cable by gauge, length, current and temperature",
		Example: "faultbook calc voltage-drop --supply 12V --current 3A --length 15m --wire 0.75mm2",
		Inputs: []measure.Input{
			required(figure("supply", "V", 0.1, 1000, "voltage at the supply", "")),
			required(figure("current", "A", 0.0001, 1000, "current of the device", "")),
			required(figure("length", "m", 0.001, 100000, "cable, one way", "")),
			required(text("wire", "conductor: 24AWG, 0.75mm2 (flexible), 1.5mm2 solid", "")),
			figure("temperature", "°C", -40, 120, "of the conductor", "20 °C"),
			figure("limit", "%", 0.1, 100, "share of the supply that may be lost", ""),
			figure("least", "V", 0, 1000, "lowest voltage at which the device works", ""),
		},
		Facts: []measure.FactName{
			yesFact("voltage-drop-ok", "what is left is enough for the device"),
			{Name: "load-voltage", Values: []string{"low"}, Help: "what is left is below --least; fine is not proven by a sum"},
		},
	}, workVoltageDrop)
}

// Design limits in % (check value W-012, common practice, no source).
const (
	adviseDrop = 5.0
	mostDrop   = 10.0
)

func workVoltageDrop(g *measure.Given, r *result) error {
	wire, err := power.ParseWire(g.Text("wire"))
	if err != nil {
		return measure.BadInput("wire", "%w", err)
	}
	supply, amps := g.Figure("supply"), g.Figure("current")
	length, temperature := g.Figure("length"), g.Figure("temperature")
	if g.Has("least") && g.Figure("least") > supply {
		return measure.BadInput("least", "%s is more than the supply has", measure.Show(g.Figure("least"), "V", 3))
	}
	d := power.VoltageDrop(supply, amps, length, wire, temperature)
	r.out("lost", d.Lost, "V", 3)
	r.out("left", d.Left, "V", 3)
	r.out("lost_share", d.Percent, "%", 1)
	r.say("wire", "%s, %s at 20 °C", wire.Name, measure.Show(wire.OhmPerKM, "ohm/km", 2))
	r.out("temperature_factor", power.TemperatureFactor(temperature), "", 4)
	r.out("loop_resistance", d.LoopOhm, "ohm", 4)
	r.Formula = "lost = 2 × length × current × Ω/m × (1 + 0.00393 × (T - 20)); left = supply - lost"
	r.src("W-004", measure.Computed)
	r.src(wire.Check, wire.Rule)
	if temperature != 20 {
		r.src("W-002", "computed; from memory (IEC 60028)")
	}
	allowed, hard := dropAllowed(g, supply)
	dropVerdict(g, r, d, allowed, hard)
	longest := power.LongestRun(allowed, amps, wire, temperature)
	r.out("longest_run", longest, "m", 1)
	if r.Verdict != measure.Pass {
		dropWayOut(r, wire, supply, amps, length, temperature, allowed)
	}
	return nil
}

// dropAllowed is the loss in V up to which the verdict is pass, and the one up
// to which it is tight.
func dropAllowed(g *measure.Given, supply float64) (allowed, hard float64) {
	switch {
	case g.Has("least"):
		allowed = supply - g.Figure("least")
		return allowed, allowed
	case g.Has("limit"):
		allowed = supply * g.Figure("limit") / 100
		return allowed, allowed
	}
	return supply * adviseDrop / 100, supply * mostDrop / 100
}

func dropVerdict(g *measure.Given, r *result, d power.Drop, allowed, hard float64) {
	ok := measure.Within(d.Lost, hard)
	r.part("loss against the limit", d.Lost, hard, "V", ok)
	if allowed != hard {
		r.part("… against the advice", d.Lost, allowed, "V", measure.Within(d.Lost, allowed))
	}
	r.fact("voltage-drop-ok", ok)
	if g.Has("least") && !ok {
		r.factValue("load-voltage", "low")
	}
	text := fmt.Sprintf("%s of the supply (%s) are lost, %s are left", measure.Show(d.Percent, "%", 1), measure.Show(d.Lost, "V", 3), measure.Show(d.Left, "V", 3))
	if d.Left <= 0 {
		text = "the cable cannot carry this current at all: more than the supply has would be lost"
	}
	switch {
	case !ok:
		r.judge(measure.Fail, "The drop is too much: %s.", text)
	case !measure.Within(d.Lost, allowed):
		r.judge(measure.Tight, "The drop is above the advised 5 %%: %s.", text)
	default:
		r.judge(measure.Pass, "The drop is small enough: %s.", text)
	}
	if !g.Has("least") && !g.Has("limit") {
		r.src("W-012", measure.Practice)
		r.note("judged by 5 %% advised and 10 %% at most (%s); give --least if the device's own limit is known", measure.Practice)
	}
}

// dropWayOut names the thinnest wire of the family that keeps the loss.
func dropWayOut(r *result, wire power.Wire, supply, amps, length, temperature, allowed float64) {
	for _, w := range power.Ladder(wire) {
		if measure.Within(power.VoltageDrop(supply, amps, length, w, temperature).Lost, allowed) {
			r.say("least_change", "take %s or thicker", w.Name)
			return
		}
	}
	r.say("least_change", "no usual size is enough: shorten the run or move the supply to the device")
}

func heatSum() measure.Sum {
	return define(measure.Sum{
		Name:    "heat",
		Summary: "heat of a rack, the air it needs, cooling and apparent power",
		Example: "faultbook calc heat --load amplifier=200W --load switcher=60W --rise 10K --air 100m3/h",
		Inputs: []measure.Input{
			required(many(figure("load", "W", 0, 1e6, "a device's power: amplifier=200W; once for each", ""))),
			figure("rise", "K", 0.1, 100, "rise of the air that is allowed", "10 K"),
			figure("air", "m3/h", 0.1, 1e6, "air that the fans move", ""),
			figure("cooling", "W", 1, 1e7, "what the room's cooling takes away (BTU/h too)", ""),
			figure("power-factor", "", 0.1, 1, "of all loads together", ""),
		},
		Facts: []measure.FactName{
			yesFact("rack-air-ok", "the air carries the heat away at the allowed rise"),
			yesFact("room-cooling-ok", "the room's cooling takes the heat away"),
		},
	}, workHeat)
}

func workHeat(g *measure.Given, r *result) error {
	loads, err := figures(g, figure("load", "W", 0, 1e6, "", ""), "load")
	if err != nil {
		return err
	}
	watts, rise := total(loads), g.Figure("rise")
	need := power.AirFlow(watts, rise)
	r.out("heat", watts, "W", 1)
	r.out("heat_btu", watts*power.BTUPerWatt, "BTU/h", 1)
	r.out("air_needed", need, "m3/h", 1)
	r.Formula = "1 W = 3.412142 BTU/h; air = W × 3600 / (1.2 × 1005 × K), about 2.99 × W / K"
	r.src("W-013", measure.Computed)
	r.src("W-014", measure.Computed)
	r.judge(measure.Unknown, "%s of heat need %s of air for a rise of %s; give --air or --cooling to judge it.",
		measure.Show(watts, "W", 1), measure.Show(need, "m3/h", 0), measure.Show(rise, "K", 1))
	if g.Has("power-factor") {
		r.out("apparent_power", power.Apparent(watts, g.Figure("power-factor")), "VA", 1)
		r.src("W-018", measure.Computed)
	}
	heatVerdict(g, r, watts, need)
	r.note("keep the intake at or below 35 °C and leave one unit above hot devices (%s)", measure.Practice)
	return nil
}

func heatVerdict(g *measure.Given, r *result, watts, need float64) {
	if g.Has("air") {
		air := g.Figure("air")
		ok := measure.Within(need, air)
		r.part("air", need, air, "m3/h", ok)
		r.out("rise_with_this_air", power.AirRise(watts, air), "K", 1)
		r.fact("rack-air-ok", ok)
		r.add(passOrFail(ok), "With %s of air it rises by %s.", measure.Show(air, "m3/h", 0), measure.Show(power.AirRise(watts, air), "K", 1))
	}
	if g.Has("cooling") {
		cooling := g.Figure("cooling")
		ok := measure.Within(watts, cooling)
		r.part("room cooling", watts, cooling, "W", ok)
		r.fact("room-cooling-ok", ok)
		r.add(passOrFail(ok), "The room's cooling takes %s and the heat is %s.", measure.Show(cooling, "W", 0), measure.Show(watts, "W", 0))
	}
}

func rackSum() measure.Sum {
	return define(measure.Sum{
		Name:    "rack",
		Summary: "do the devices fit the rack's height",
		Example: "faultbook calc rack --size 12U --device switcher=2U --device amplifier=2U --device gap=1U",
		Inputs: []measure.Input{
			required(figure("size", "U", 1, 60, "height of the rack", "")),
			required(many(figure("device", "U", 0, 60, "a device, or a gap above a hot one: amplifier=2U; once for each", ""))),
		},
		Facts: []measure.FactName{yesFact("rack-fits", "all devices and gaps fit")},
	}, func(g *measure.Given, r *result) error {
		devices, err := figures(g, figure("device", "U", 0, 60, "", ""), "device")
		if err != nil {
			return err
		}
		need, size := total(devices), g.Figure("size")
		ok := measure.Within(need, size)
		r.out("needed", need, "U", 1)
		r.out("free", size-need, "U", 1)
		r.out("needed_mm", power.RackMM(need), "mm", 1)
		r.out("size_mm", power.RackMM(size), "mm", 1)
		r.part("rack", need, size, "U", ok)
		r.Formula = "sum of units ≤ size; 1 U = 44.45 mm"
		r.src("W-015", "from memory (IEC 60297-3, EIA/ECA-310); computed")
		r.src("W-016", measure.Practice)
		r.fact("rack-fits", ok)
		if ok {
			r.judge(measure.Pass, "The devices fit: %s of %s.", measure.Show(need, "U", 1), measure.Show(size, "U", 1))
		} else {
			r.judge(measure.Fail, "The devices do not fit: %s of %s.", measure.Show(need, "U", 1), measure.Show(size, "U", 1))
		}
		return nil
	})
}
