package main

import (
	"io"
	"os"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/edid"
	"faultbook/diagnose/measure/sums"

	"github.com/spf13/cobra"
)

// mostEDID bounds what is read of an EDID file or dump, in bytes.
const mostEDID = 1 << 20

// edidFlag adds --edid to the sum that has parts of a picture chain.
func edidFlag(cmd *cobra.Command, sum measure.Sum) *string {
	file := new(string)
	if sum.Name == "link" {
		cmd.Flags().StringVar(file, "edid", "", "`FILE` with the display's EDID, binary or hex dump, - for standard input; taken as the last part")
	}
	return file
}

// edidPart reads the first EDID of a file and describes the display as a part.
func edidPart(s streams, file string) (string, error) {
	in := s.In
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return "", wrongUse("calc link: --edid: %w", err)
		}
		defer f.Close()
		in = f
	}
	data, err := io.ReadAll(io.LimitReader(in, mostEDID))
	if err != nil {
		return "", wrongUse("calc link: --edid: read %s: %w", file, err)
	}
	found := edid.Find(data)
	if len(found) == 0 {
		return "", wrongUse("calc link: --edid: %s has no EDID, neither binary nor as hex", file)
	}
	d, err := edid.Decode(found[0].Data)
	if err != nil {
		return "", wrongUse("calc link: --edid: %s: %w", file, err)
	}
	return sums.DisplayPart(d), nil
}
