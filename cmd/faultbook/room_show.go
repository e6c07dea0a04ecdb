package main

import (
	"fmt"
	"io"
	"os"

	"faultbook/kb/room/draw"

	"github.com/spf13/cobra"
)

func newRoomShowCommand(s streams) *cobra.Command {
	var asJSON bool
	var svg string
	cmd := &cobra.Command{
		Use:   "show ROOM",
		Short: "Print a sheet, and draw its paths",
		Long: `Show prints what stands in the room and how picture, USB, network, sound, control
and supply go. --svg writes the same as a picture that carries the text as its
description.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return runRoomShow(s, args[0], svg, asJSON) },
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the sheet as one JSON document")
	cmd.Flags().StringVar(&svg, "svg", "", "write the picture to `FILE` (- for standard output)")
	return cmd
}

func runRoomShow(s streams, name, svg string, asJSON bool) error {
	sheet, err := openSheet(s, name)
	if err != nil {
		return err
	}
	switch {
	case asJSON:
		return printJSON(s.Out, sheet)
	case svg == "-":
		_, err = io.WriteString(s.Out, draw.SVG(sheet))
		return err
	case svg != "":
		if err := os.WriteFile(svg, []byte(draw.SVG(sheet)), 0o644); err != nil {
			return wrongUse("write the picture: %w", err)
		}
		fmt.Fprintf(s.Out, "Picture written to %s.\n", svg)
		return nil
	}
	_, err = io.WriteString(s.Out, draw.Text(sheet))
	return err
}
