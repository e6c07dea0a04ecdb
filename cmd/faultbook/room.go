package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/kb/room"

	"github.com/spf13/cobra"
)

func newRoomCommand(s streams) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "room",
		Short: "Sheets of rooms: what stands there, what it can do, what it means for a call",
		Long: `A sheet says what stands in one room: devices with their sockets, cables with
class and length, formats, currents, addresses, lamps, works. It lies as
rooms/ID.yaml in the data folder and is plain YAML; an editor that reads the
JSON Schema of its first line completes and underlines. What is not written is
unknown and is never taken as good.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	cmd.AddCommand(newRoomListCommand(s), newRoomCheckCommand(s), newRoomShowCommand(s), newRoomVisitCommand(s), newRoomImportCommand(s), newRoomNewCommand(s))
	return cmd
}

// roomFolder is where the sheets lie.
func roomFolder() (string, error) {
	dir, err := home()
	if err != nil {
		return "", err
	}
	return filepath.Join(dir, "rooms"), nil
}

// openRooms reads all sheets; what cannot be used is reported and left out.
func openRooms(s streams) ([]*room.Sheet, error) {
	dir, err := roomFolder()
	if err != nil {
		return nil, err
	}
	return readRooms(s, dir)
}

// roomsOf reads the sheets of a folder once, when they are first asked for.
func roomsOf(s streams, folder func() (string, error)) func() []*room.Sheet {
	return sync.OnceValue(func() []*room.Sheet {
		dir, err := folder()
		if err != nil {
			return nil
		}
		sheets, err := readRooms(s, dir)
		if err != nil {
			fmt.Fprintf(s.Err, "faultbook: %v\n", err)
		}
		return sheets
	})
}

// libraryOf finds single sheets of a folder.
func libraryOf(s streams, dir string) *room.Library {
	return room.NewLibrary(os.DirFS(dir), dir, func(list []kb.Finding) {
		for _, f := range list {
			fmt.Fprintf(s.Err, "%s\n", f)
		}
	})
}

func readRooms(s streams, dir string) ([]*room.Sheet, error) {
	info, err := os.Stat(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err == nil && !info.IsDir() {
		return nil, wrongUse("%s is no folder of room sheets: move it away", dir)
	}
	sheets, findings := room.Load(os.DirFS(dir), dir)
	for _, f := range findings {
		fmt.Fprintf(s.Err, "%s\n", f)
	}
	if n := kb.CountErrors(findings); n > 0 {
		fmt.Fprintf(s.Err, "faultbook: %d findings in room sheets: the sheets that they touch are left out.\n", n)
	}
	return sheets, nil
}

// openSheet reads one sheet, by its id, by the name of its room, or as a file.
func openSheet(s streams, name string) (*room.Sheet, error) {
	if strings.HasSuffix(name, ".yaml") || strings.HasSuffix(name, ".yml") {
		return openSheetFile(s, name)
	}
	dir, err := roomFolder()
	if err != nil {
		return nil, err
	}
	if path := filepath.Join(dir, name+".yaml"); kb.ValidID(name) {
		if _, err := os.Stat(path); err == nil {
			return openSheetFile(s, path)
		}
	}
	sheets, err := openRooms(s)
	if err != nil {
		return nil, err
	}
	var ids []string
	for _, x := range sheets {
		if x.Called(name) {
			return x, nil
		}
		ids = append(ids, x.ID)
	}
	if len(ids) == 0 {
		return nil, wrongUse("there is no sheet in %s; `faultbook room new ID` makes one, `faultbook demo FOLDER` writes twelve to look at", dir)
	}
	return nil, wrongUse("there is no sheet of room %q%s; `faultbook room list` shows them", name, kb.Nearest(name, ids))
}

func openSheetFile(s streams, path string) (*room.Sheet, error) {
	data, err := cases.ReadPlain(path)
	if err != nil {
		return nil, wrongUse("open the sheet: %w", err)
	}
	sheet, findings := room.Parse(data, path, os.DirFS(filepath.Dir(path)))
	for _, f := range findings {
		fmt.Fprintf(s.Err, "%s\n", f)
	}
	if sheet == nil || kb.CountErrors(findings) > 0 {
		return nil, wrongUse("%s cannot be used: mend the %d findings above", path, len(findings))
	}
	return sheet, nil
}

func newRoomListCommand(s streams) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "list",
		Short: "List the rooms that have a sheet",
		Args:  cobra.NoArgs,
		RunE:  func(*cobra.Command, []string) error { return runRoomList(s, asJSON) },
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document")
	return cmd
}

// listedRoom is a line of the list.
type listedRoom struct {
	ID       string   `json:"id"`
	Title    string   `json:"title"`
	Site     string   `json:"site"`
	Type     string   `json:"type"`
	Surveyed room.Day `json:"surveyed"`
	By       string   `json:"by"`
	Devices  int      `json:"devices"`
	Cables   int      `json:"cables"`
	Revision int      `json:"revision"`
}

func runRoomList(s streams, asJSON bool) error {
	sheets, err := openRooms(s)
	if err != nil {
		return err
	}
	list := []listedRoom{}
	for _, x := range sheets {
		list = append(list, listedRoom{x.ID, x.Title, x.Site, x.Type, x.Surveyed, x.By, len(x.Devices), len(x.Cables), x.Revision})
	}
	if asJSON {
		return printJSON(s.Out, list)
	}
	for _, r := range list {
		day := r.Surveyed.String()
		if day == "" {
			day = "never"
		}
		fmt.Fprintf(s.Out, "%-18s %-40s %3d devices %3d cables  surveyed %s %s\n", r.ID, r.Title, r.Devices, r.Cables, day, r.By)
	}
	if len(list) == 0 {
		fmt.Fprintln(s.Out, "No room has a sheet yet: `faultbook room new ID` makes one.")
	}
	return nil
}
