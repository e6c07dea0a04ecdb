package main

import (
	"errors"
	"fmt"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/sums"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

func newCalcCommand(s streams) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "calc SUM",
		Short: "Do a sum that decides: links, timings, USB, PoE, subnets, levels, drops",
		Long: `Calc works a sum out from figures with units and says pass, tight, fail or
unknown, with the working, the formula and where the rule comes from. Without a
name it lists the sums.

Figures take their units: 500mA, "15 m", 24AWG, 2160p60. A value at its limit
passes. "Tight" is inside the standard but outside what the trade advises.

Exit status: 0 the sum was done, whatever its verdict; 2 an input cannot be used.`,
		Example: `  faultbook calc link --format 2160p60 --part "source=HDMI 2.0" --part "cable=High Speed, 7 m" --part "display=600 MHz"`,
		Args:    knownSum,
		RunE: func(cmd *cobra.Command, _ []string) error {
			asJSON, _ := cmd.Flags().GetBool("json")
			return runCalcList(s, asJSON)
		},
	}
	cmd.PersistentFlags().Bool("json", false, "print JSON")
	for _, sum := range sums.All() {
		cmd.AddCommand(newSumCommand(s, sum))
	}
	return cmd
}

// knownSum turns a word that is no sum into wrong use: cobra hands it to the
// group itself.
func knownSum(_ *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	hint := ""
	if near := measure.Nearest(args[0], measure.Names()); near != "" {
		hint = fmt.Sprintf("; did you mean %s?", near)
	}
	return wrongUse("there is no sum %q%s (faultbook calc lists them)", args[0], hint)
}

// newSumCommand binds one flag for each input of a sum.
func newSumCommand(s streams, sum measure.Sum) *cobra.Command {
	given := map[string]*[]string{}
	cmd := &cobra.Command{
		Use:     sum.Name,
		Short:   sum.Summary,
		Long:    sumHelp(sum),
		Example: "  " + sum.Example,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return wrongUse("%s: %q stands alone; give values with their flags and quote what has spaces", sum.Name, args[0])
			}
			return nil
		},
	}
	for _, in := range sum.Inputs {
		given[in.Name] = cmd.Flags().StringArray(in.Name, nil, flagHelp(in))
		flag := cmd.Flags().Lookup(in.Name)
		flag.Value, flag.DefValue = inputFlag{flag.Value, placeholder(in)}, ""
	}
	edidFile := edidFlag(cmd, sum)
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		asJSON, _ := cmd.Flags().GetBool("json")
		values := measure.Values{}
		for name, texts := range given {
			if cmd.Flags().Changed(name) {
				values[name] = *texts
			}
		}
		if *edidFile != "" {
			part, err := edidPart(s, *edidFile)
			if err != nil {
				return err
			}
			values["part"] = append(values["part"], part)
		}
		return runCalc(s, sum, values, asJSON)
	}
	for _, in := range sum.Inputs {
		words := in.Words
		_ = cmd.RegisterFlagCompletionFunc(in.Name, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return words, cobra.ShellCompDirectiveNoFileComp
		})
	}
	return cmd
}

// inputFlag shows the unit of an input in the help where pflag would show the
// Go type.
type inputFlag struct {
	pflag.Value
	unit string
}

func (f inputFlag) Type() string { return f.unit }

// placeholder stands for the value of an input in the help.
func placeholder(in measure.Input) string {
	switch {
	case len(in.Words) > 0:
		return "WORD"
	case in.Unit != "":
		return in.Unit
	case in.Kind != measure.KindText:
		return "N"
	}
	return "TEXT"
}

// flagHelp describes an input in one line of help.
func flagHelp(in measure.Input) string {
	text := in.Help
	if len(in.Words) > 0 && !strings.Contains(in.Help, in.Words[0]) {
		text += ": " + strings.Join(in.Words, ", ")
	}
	switch {
	case in.Required:
		text += " (required)"
	case in.Default != "":
		text += fmt.Sprintf(" (default %s)", in.Default)
	}
	return text
}

func sumHelp(sum measure.Sum) string {
	text := strings.ToUpper(sum.Summary[:1]) + sum.Summary[1:] + "."
	if len(sum.Facts) == 0 {
		return text
	}
	text += "\n\nFacts for a call:"
	for _, f := range sum.Facts {
		text += fmt.Sprintf("\n  %s (%s): %s", f.Name, strings.Join(f.Values, ", "), f.Help)
	}
	return text
}

// runCalc works a sum out and prints it. Whatever an input makes impossible is
// wrong use, with every fault named by its flag.
func runCalc(s streams, sum measure.Sum, values measure.Values, asJSON bool) error {
	r, err := sum.Run(values)
	if err != nil {
		return wrongUse("calc %s: %s", sum.Name, flagErrors(err))
	}
	if asJSON {
		return printJSON(s.Out, r)
	}
	_, err = fmt.Fprint(s.Out, calcText(r, wrapWidth(s)))
	return err
}

// flagErrors names each input as its flag, one fault a line.
func flagErrors(err error) string {
	var lines []string
	var walk func(error)
	walk = func(err error) {
		var bad *measure.InputError
		if joined, ok := err.(interface{ Unwrap() []error }); ok {
			for _, e := range joined.Unwrap() {
				walk(e)
			}
			return
		}
		if errors.As(err, &bad) {
			lines = append(lines, fmt.Sprintf("--%s: %v", bad.Input, bad.Err))
			return
		}
		lines = append(lines, err.Error())
	}
	walk(err)
	return strings.Join(lines, "\n  ")
}

// runCalcList prints the sums with what they are for.
func runCalcList(s streams, asJSON bool) error {
	list := sums.All()
	if asJSON {
		type row struct {
			Name    string `json:"name"`
			Summary string `json:"summary"`
			Example string `json:"example"`
		}
		rows := []row{}
		for _, sum := range list {
			rows = append(rows, row{sum.Name, sum.Summary, sum.Example})
		}
		return printJSON(s.Out, rows)
	}
	for _, sum := range list {
		fmt.Fprintf(s.Out, "%-15s %s\n", sum.Name, sum.Summary)
	}
	_, err := fmt.Fprintln(s.Out, "\nfaultbook calc SUM --help tells what each takes.")
	return err
}
