package room

import (
	"fmt"
	"strings"
	"time"

	"faultbook/diagnose/measure"
)

// figure reads a number with its unit and keeps it in the wanted one.
func figure(text []byte, unit string, least, most float64) (float64, error) {
	v, err := measure.Parse(string(text), unit)
	if err != nil {
		return 0, fmt.Errorf("%q: %w", text, err)
	}
	if v < least || v > most {
		return 0, fmt.Errorf("%q: must be from %g to %g %s", text, least, most, unit)
	}
	return v, nil
}

func unitSchema(unit string) map[string]any {
	return map[string]any{"type": "string", "minLength": 2, "description": "a figure with its unit, as in \"7 " + unit + "\""}
}

// Metres is a length, 0 to 10000 m.
type Metres float64

// UnmarshalText reads "7 m", "2 ft".
func (f *Metres) UnmarshalText(t []byte) (err error) {
	v, err := figure(t, "m", 0, 10000)
	*f = Metres(v)
	return err
}

// JSONSchema says how it is written.
func (Metres) JSONSchema() map[string]any { return unitSchema("m") }

// MilliAmps is a current, 0 to 100 A, kept in mA.
type MilliAmps float64

// UnmarshalText reads "500 mA", "3 A".
func (f *MilliAmps) UnmarshalText(t []byte) (err error) {
	v, err := figure(t, "mA", 0, 100000)
	*f = MilliAmps(v)
	return err
}

// JSONSchema says how it is written.
func (MilliAmps) JSONSchema() map[string]any { return unitSchema("mA") }

// Watts is a power, 0 to 100 kW.
type Watts float64

// UnmarshalText reads "60 W".
func (f *Watts) UnmarshalText(t []byte) (err error) {
	v, err := figure(t, "W", 0, 100000)
	*f = Watts(v)
	return err
}

// JSONSchema says how it is written.
func (Watts) JSONSchema() map[string]any { return unitSchema("W") }

// Volts is a voltage, 0 to 1000 V.
type Volts float64

// UnmarshalText reads "12 V".
func (f *Volts) UnmarshalText(t []byte) (err error) {
	v, err := figure(t, "V", 0, 1000)
	*f = Volts(v)
	return err
}

// JSONSchema says how it is written.
func (Volts) JSONSchema() map[string]any { return unitSchema("V") }

// Ohms is an impedance, 0 to 100 kΩ.
type Ohms float64

// UnmarshalText reads "8 ohm".
func (f *Ohms) UnmarshalText(t []byte) (err error) {
	v, err := figure(t, "ohm", 0, 100000)
	*f = Ohms(v)
	return err
}

// JSONSchema says how it is written.
func (Ohms) JSONSchema() map[string]any { return unitSchema("ohm") }

// Airflow is a flow of air, 0 to 100000 m³/h.
type Airflow float64

// UnmarshalText reads "150 m3/h".
func (f *Airflow) UnmarshalText(t []byte) (err error) {
	v, err := figure(t, "m3/h", 0, 100000)
	*f = Airflow(v)
	return err
}

// JSONSchema says how it is written.
func (Airflow) JSONSchema() map[string]any { return unitSchema("m3/h") }

// Celsius is a temperature, -20 to 60 °C.
type Celsius float64

// UnmarshalText reads "25 °C".
func (f *Celsius) UnmarshalText(t []byte) (err error) {
	v, err := figure(t, "°C", -20, 60)
	*f = Celsius(v)
	return err
}

// JSONSchema says how it is written.
func (Celsius) JSONSchema() map[string]any { return unitSchema("°C") }

// Millis is a delay, 0 to 60 s, kept in ms.
type Millis float64

// UnmarshalText reads "40 ms".
func (f *Millis) UnmarshalText(t []byte) (err error) {
	v, err := figure(t, "ms", 0, 60000)
	*f = Millis(v)
	return err
}

// JSONSchema says how it is written.
func (Millis) JSONSchema() map[string]any { return unitSchema("ms") }

// Level is a sound level, -120 to +40, kept in dBu.
type Level float64

// UnmarshalText reads "+4 dBu", "-10 dBV".
func (f *Level) UnmarshalText(t []byte) error {
	text := strings.TrimPrefix(strings.TrimSpace(string(t)), "+")
	if v, err := figure([]byte(text), "dBu", -120, 40); err == nil {
		*f = Level(v)
		return nil
	}
	v, err := figure([]byte(text), "dBV", -120, 40)
	if err != nil {
		return fmt.Errorf("%q: write a level as +4 dBu or -10 dBV", t)
	}
	*f = Level(v + dBVToDBu)
	return nil
}

// dBVToDBu is 0 dBV in dBu: 20 log(1/0.7746) (check value A-002, computed).
const dBVToDBu = 2.2184874961635637

// JSONSchema says how it is written.
func (Level) JSONSchema() map[string]any { return unitSchema("dBu") }

// Day is a day, written 2026-03-12; the zero Day is unknown.
type Day struct{ time.Time }

// UnmarshalText reads a day.
func (d *Day) UnmarshalText(t []byte) error {
	day, err := time.Parse(time.DateOnly, string(t))
	if err != nil {
		return fmt.Errorf("%q is no day: write it as 2026-03-12", t)
	}
	if day.Year() < 1990 || day.Year() > 2100 {
		return fmt.Errorf("%q: the year must be from 1990 to 2100", t)
	}
	d.Time = day
	return nil
}

// MarshalText writes a day, "" where it is unknown.
func (d Day) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// String writes a day, "" where it is unknown.
func (d Day) String() string {
	if d.IsZero() {
		return ""
	}
	return d.Format(time.DateOnly)
}

// JSONSchema says how it is written.
func (Day) JSONSchema() map[string]any {
	return map[string]any{"type": "string", "pattern": `^\d{4}-\d{2}-\d{2}$`}
}

// known gives the figure behind a pointer, and whether there is one.
func known[T ~float64](p *T) (float64, bool) {
	if p == nil {
		return 0, false
	}
	return float64(*p), true
}
