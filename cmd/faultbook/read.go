package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"faultbook/diagnose/measure/reading"

	"github.com/spf13/cobra"
)

// portsFolder is where a Linux system keeps the EDIDs of its own display ports,
// one folder a connector.
const portsFolder = "/sys/class/drm"

type readOptions struct {
	json, ports bool
	// portsIn is portsFolder, except in tests.
	portsIn string
}

func newReadCommand(s streams) *cobra.Command {
	opt := readOptions{portsIn: portsFolder}
	cmd := &cobra.Command{
		Use:   "read FILE...",
		Short: "Read an evidence file: EDID, lsusb, ethtool, ip, ping, PoE table, serial bytes",
		Long: `Read recognises by its content what a file is and says what follows from it:

  EDID      binary, or a hexadecimal dump of any usual layout, several in one
            paste too
  USB       lsusb -v, lsusb -t
  network   ethtool PORT, ethtool -S PORT, ip addr, ip -s link, ping
  PoE       a switch's table of ports with power, in columns
  serial    bytes of a serial line in hexadecimal

FILE - is standard input. --ports reads the EDIDs of this machine's own display
ports where the system offers them.

With --json there is one object a line for each reading, in the order of the
files: kind, facts, remarks and everything decoded. A file with several displays
or kinds gives a line for each, with its part named.

Exit status 0: all read, 2: a file could not be read or recognised (the others
are printed all the same).`,
		Example: "  faultbook read display.bin\n  xrandr --verbose | faultbook read -",
		RunE:    func(_ *cobra.Command, args []string) error { return runRead(s, args, opt) },
	}
	cmd.Flags().BoolVar(&opt.ports, "ports", false, "read the EDIDs of this machine's display ports")
	cmd.Flags().BoolVar(&opt.json, "json", false, "print one JSON object a line")
	return cmd
}

// evidence is one file to read, by the name that people know it by.
type evidence struct {
	name string
	open func() (io.ReadCloser, error)
}

func runRead(s streams, args []string, opt readOptions) error {
	files, err := evidenceFiles(s, args, opt)
	if err != nil {
		return err
	}
	var bad []error
	first := true
	for _, f := range files {
		readings, err := readEvidence(f)
		if err != nil {
			bad = append(bad, fmt.Errorf("%s: %w", f.name, err))
		}
		for _, r := range readings {
			if err := printReading(s, f.name, r, opt.json, first); err != nil {
				return err
			}
			first = false
		}
	}
	if len(bad) == 0 {
		return nil
	}
	for _, err := range bad[:len(bad)-1] {
		fmt.Fprintf(s.Err, "faultbook: %v\n", err)
	}
	return wrongUse("%w", bad[len(bad)-1])
}

// evidenceFiles lists what is to be read: the ports, the files named, or
// standard input where it is a pipe and nothing is named.
func evidenceFiles(s streams, args []string, opt readOptions) ([]evidence, error) {
	var files []evidence
	if opt.ports {
		ports, err := displayPorts(s, opt.portsIn)
		if err != nil {
			return nil, err
		}
		files = ports
	}
	if len(args) == 0 && !opt.ports {
		if _, terminal := terminalOf(s.In); terminal {
			return nil, wrongUse("name a file to read, - for standard input, or --ports")
		}
		args = []string{"-"}
	}
	for _, name := range args {
		if name == "-" {
			files = append(files, evidence{"standard input", func() (io.ReadCloser, error) { return io.NopCloser(s.In), nil }})
			continue
		}
		files = append(files, evidence{name, func() (io.ReadCloser, error) { return os.Open(name) }})
	}
	return files, nil
}

func readEvidence(f evidence) ([]reading.Reading, error) {
	in, err := f.open()
	if err != nil {
		return nil, withoutPath(err)
	}
	defer in.Close()
	data, err := io.ReadAll(io.LimitReader(in, reading.Longest+1))
	if err != nil {
		return nil, withoutPath(err)
	}
	return reading.Read(data)
}

// withoutPath drops the path from a file error: the name is printed before it.
func withoutPath(err error) error {
	if e, ok := err.(*os.PathError); ok {
		return e.Err
	}
	return err
}

// displayPorts lists the connectors that have an EDID. Those without one are
// named on the error stream: an empty port is an answer too.
func displayPorts(s streams, folder string) ([]evidence, error) {
	paths, err := filepath.Glob(filepath.Join(folder, "*", "edid"))
	if err != nil {
		return nil, fmt.Errorf("list %s: %w", folder, err)
	}
	if len(paths) == 0 {
		return nil, wrongUse("this system offers no display ports under %s; save the EDID to a file with a tool of the system and read that", folder)
	}
	var files []evidence
	for _, path := range paths {
		port := filepath.Base(filepath.Dir(path))
		if _, name, ok := strings.Cut(port, "-"); ok {
			port = name // "card0-HDMI-A-1"
		}
		data, err := os.ReadFile(path)
		switch {
		case err != nil:
			fmt.Fprintf(s.Err, "%s: %v\n", port, withoutPath(err))
		case len(data) == 0:
			fmt.Fprintf(s.Err, "%s: %s\n", port, emptyPort(filepath.Dir(path)))
		default:
			files = append(files, evidence{port, func() (io.ReadCloser, error) { return os.Open(path) }})
		}
	}
	return files, nil
}

// emptyPort tells an open port from one whose display could not be read.
func emptyPort(folder string) string {
	status, err := os.ReadFile(filepath.Join(folder, "status"))
	if err == nil && strings.TrimSpace(string(status)) == "connected" {
		return "connected, but no EDID could be read: look at the DDC wires (cable, adapter) and whether the display is on"
	}
	return "nothing connected"
}

// readingJSON is a reading with the name of its file.
type readingJSON struct {
	File string `json:"file"`
	reading.Reading
}

func printReading(s streams, file string, r reading.Reading, asJSON, first bool) error {
	if asJSON {
		return printLine(s.Out, readingJSON{file, r})
	}
	if !first {
		fmt.Fprintln(s.Out)
	}
	_, err := io.WriteString(s.Out, readingText(file, r, wrapWidth(s)))
	return err
}

// readingText is a reading for a technician: what it is, the figures, and what
// they mean with the ground for it.
func readingText(file string, r reading.Reading, wrap int) string {
	var b strings.Builder
	b.WriteString(file + ": " + string(r.Kind))
	if r.Part != "" {
		b.WriteString(" " + r.Part)
	}
	b.WriteString("\n")
	longest := 0
	for _, row := range r.Summary {
		longest = max(longest, len([]rune(row.Label)))
	}
	for _, row := range r.Summary {
		b.WriteString(hang("  "+pad(row.Label, longest)+"  ", row.Text, wrap))
	}
	for _, m := range r.Remarks {
		b.WriteString(hang("  ! ", fmt.Sprintf("%s (check value %s; %s)", m.Text, m.CheckValue, m.Words), wrap))
	}
	return b.String()
}
