package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"faultbook/diagnose/measure/reading"
	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/kb/room"

	"github.com/spf13/cobra"
)

func newRoomImportCommand(s streams) *cobra.Command {
	var at string
	var asJSON, dry bool
	cmd := &cobra.Command{
		Use:   "import ROOM FILE…",
		Short: "Take readings taken on site into a sheet",
		Long: `Import reads EDID dumps, lsusb, ip, ethtool and a switch's table of network power
and fills what the sheet leaves unknown. What is written stays: where a reading
says otherwise, that is reported, and the exit status is 1.

--at names the device, or device/port, that the files were read at; it can be
left out where the sheet has only one of the kind.`,
		Example: "  faultbook room import bowline wall.edid --at screen/hdmi-1\n  ip addr | faultbook room import bowline - --at room-pc",
		Args:    cobra.MinimumNArgs(2),
		RunE: func(_ *cobra.Command, args []string) error {
			return runRoomImport(s, args[0], args[1:], at, dry, asJSON)
		},
	}
	cmd.Flags().StringVar(&at, "at", "", "the `device` or device/port that was read")
	cmd.Flags().BoolVar(&dry, "dry-run", false, "say what would be filled, and change nothing")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document")
	return cmd
}

// importedReading is what one file did.
type importedReading struct {
	File string `json:"file"`
	*room.Imported
}

func runRoomImport(s streams, name string, files []string, at string, dry, asJSON bool) error {
	sheet, err := openSheet(s, name)
	if err != nil {
		return err
	}
	list := []importedReading{}
	against := 0
	for _, path := range files {
		data, err := evidenceOf(s, path)
		if err != nil {
			return wrongUse("read %s: %w", path, err)
		}
		readings, err := reading.Read(data)
		if len(readings) == 0 {
			return wrongUse("read %s: %w", path, err)
		}
		m, err := sheet.Import(readings, data, at)
		if err != nil {
			return wrongUse("%s: %w", path, err)
		}
		against += len(m.Contradicts)
		list = append(list, importedReading{filepath.Base(path), m})
		if len(m.Filled) > 0 && !dry {
			if sheet, err = keepSheet(sheet); err != nil {
				return err
			}
		}
	}
	if asJSON {
		if err := printJSON(s.Out, list); err != nil {
			return err
		}
	} else {
		printImported(s, list)
	}
	if against > 0 {
		return errQuiet
	}
	return nil
}

func printImported(s streams, list []importedReading) {
	for _, m := range list {
		for _, x := range m.Filled {
			fmt.Fprintf(s.Out, "%s: filled %s\n", m.File, x)
		}
		for _, x := range m.Contradicts {
			fmt.Fprintf(s.Out, "%s: contradicts the sheet: %s\n", m.File, x)
		}
		for _, x := range m.Notes {
			fmt.Fprintf(s.Out, "%s: %s\n", m.File, x)
		}
		if len(m.Filled)+len(m.Contradicts)+len(m.Notes) == 0 {
			fmt.Fprintf(s.Out, "%s: agrees with the sheet\n", m.File)
		}
	}
}

// evidenceOf reads a file, or standard input for -.
func evidenceOf(s streams, path string) ([]byte, error) {
	in := s.In
	if path != "-" {
		f, err := os.Open(path)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		in = f
	}
	return io.ReadAll(io.LimitReader(in, reading.Longest+1)) // a device may never end
}

// keepSheet writes the sheet where it came from, once it was read back, so that
// nothing is kept that could not be read again.
func keepSheet(sheet *room.Sheet) (*room.Sheet, error) {
	path := sheet.Path()
	dir := filepath.Dir(path)
	data, err := sheet.Encode()
	if err != nil {
		return nil, err
	}
	back, findings := room.Parse(data, path, os.DirFS(dir))
	if back == nil || kb.CountErrors(findings) > 0 {
		return nil, fmt.Errorf("the sheet would not be readable any more and was left as it is: %v", findings[0])
	}
	if err := cases.WriteFile(path, data, false); err != nil {
		return nil, fmt.Errorf("keep the sheet: %w", err)
	}
	return back, nil
}
