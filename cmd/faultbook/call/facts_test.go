package call

import (
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"faultbook/diagnose/measure/reading"
	"faultbook/diagnose/measure/sums"
	"faultbook/kb"
	"faultbook/kb/cases"
)

// TestBookFacts holds that every fact and value in the rows of the built-in
// book is one that some reading or sum can give.
func TestBookFacts(t *testing.T) {
	book, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	rows, sum := 0, 0
	for _, q := range kb.All[kb.Question](book) {
		rows += len(q.Measured)
		if q.Sum != "" {
			sum++
		}
	}
	if rows < 40 || sum < 5 {
		t.Errorf("only %d rows and %d sums in the book", rows, sum)
	}
	for _, f := range kb.CheckMeasured(book, Instruments()) {
		t.Error(f)
	}
}

// TestSumsAnswer holds that the sum which a question names can answer it.
func TestSumsAnswer(t *testing.T) {
	book, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range kb.All[kb.Question](book) {
		if q.Sum == "" {
			continue
		}
		s, _ := sums.Find(q.Sum)
		able := false
		for _, f := range s.Facts {
			for _, value := range f.Values {
				_, _, ok := q.Answered(map[string]string{f.Name: value})
				able = able || ok
			}
		}
		if !able {
			t.Errorf("question %s names the sum %s, no fact of which answers it", q.ID, q.Sum)
		}
	}
}

// TestEveryRowHolds gives each row of the book evidence that makes it hold, so
// that none is there for show: the files of the packages that read them, and
// short ones below in the form that the tools write.
func TestEveryRowHolds(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "")
	held := map[string]bool{}
	note := func(e *cases.Evidence) {
		facts := map[string]string{}
		for _, f := range e.Facts {
			facts[f.Name] = f.Value
		}
		for _, q := range kb.All[kb.Question](d.Book) {
			for i, m := range q.Measured {
				one := kb.Question{Answers: q.Answers, Measured: []kb.Measured{m}}
				if _, _, ok := one.Answered(facts); ok {
					held[fmt.Sprintf("%s row %d", q.ID, i+1)] = true
				}
			}
		}
	}
	files, err := filepath.Glob(toolFiles + "*.txt")
	if err != nil {
		t.Fatal(err)
	}
	more, err := filepath.Glob(edidFiles + "*.hex")
	if err != nil {
		t.Fatal(err)
	}
	files = append(files, more...)
	for i, text := range shortFiles() {
		path := filepath.Join(t.TempDir(), fmt.Sprintf("short%d.txt", i))
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		files = append(files, path)
	}
	for _, path := range files {
		e, err := c.event(read(path))
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		note(e.Evidence)
	}
	for _, in := range everySum() {
		e, err := c.event(in)
		if err != nil {
			t.Fatalf("%+v: %v", *in.Sum, err)
		}
		note(e.Evidence)
	}
	for _, q := range kb.All[kb.Question](d.Book) {
		for i := range q.Measured {
			if name := fmt.Sprintf("%s row %d", q.ID, i+1); !held[name] {
				t.Errorf("%s (%+v) held for nothing", name, q.Measured[i])
			}
		}
	}
}

func shortFiles() []string {
	return []string{
		"Settings for eth0:\n\tSpeed: 1000Mb/s\n\tDuplex: Full\n\tAuto-negotiation: on\n\tLink detected: yes\nNIC statistics:\n     rx_crc_errors: 0\n     late_collisions: 0\n",
		"Settings for eth0:\n\tSpeed: 10Mb/s\n\tDuplex: Half\n\tAuto-negotiation: on\n\tLink detected: yes\n",
		"Settings for eth0:\n\tSpeed: Unknown!\n\tDuplex: Unknown! (255)\n\tAuto-negotiation: on\n\tLink detected: no\n",
		"2: eth0: <BROADCAST,MULTICAST,UP,LOWER_UP> mtu 1500 qdisc pfifo_fast state UP group default qlen 1000\n    link/ether 02:00:00:00:00:0a brd ff:ff:ff:ff:ff:ff\n" +
			"    RX:  bytes packets errors dropped  missed   mcast\n          4922   13       0       0       0       0\n    TX:  bytes packets errors dropped carrier collsns\n           930   8        0       0       0       0\n",
		"2: eth0: <BROADCAST,MULTICAST,UP,LOWER_UP> mtu 1500 qdisc pfifo_fast state UP group default qlen 1000\n    link/ether 02:00:00:00:00:0a brd ff:ff:ff:ff:ff:ff\n    inet6 fe80::ff:fe00:a/64 scope link\n",
		"/:  Bus 02.Port 1: Dev 1, Class=root_hub, Driver=xhci_hcd/4p, 5000M\n    |__ Port 3: Dev 2, If 0, Class=Video, Driver=uvcvideo, 5000M\n",
		"/:  Bus 01.Port 1: Dev 1, Class=root_hub, Driver=xhci_hcd/4p, 480M\n    |__ Port 3: Dev 2, If 0, Class=Video, Driver=uvcvideo, 12M\n",
		"Available: 370.0(w)  Used: 61.6(w)  Remaining: 308.4(w)\n\nInterface  Admin   Oper        Power   Device       Class  Max\n                               (Watts)\n---------- ------- ----------- ------- ------------ ------ -----\n" +
			"1/0/1      auto    on          12.9    PD           3      30.0\n1/0/4      auto    fault       0.0     PD           4      30.0\n",
		"50 57 52 3F\n50 57 52 3F\n50 4F 57 45 52\n",
		"Bus 001 Device 004: ID fff0:0101\nDevice Descriptor:\n  bcdUSB               2.00\n  bDeviceClass          239 Miscellaneous Device\n" +
			"  Configuration Descriptor:\n    bmAttributes         0x80\n      (Bus Powered)\n    MaxPower              896mA\n",
		basicSound(),
	}
}

// basicSound is vector D with an extension of the CTA kind (02, revision 3)
// that announces basic audio (bit 6 of byte 3) and nothing else.
func basicSound() string {
	data, err := os.ReadFile(edidFiles + "D.hex")
	if err != nil {
		return ""
	}
	var block []byte
	for _, line := range strings.Split(string(data), "\n") {
		if bytes, err := hex.DecodeString(strings.ReplaceAll(line, " ", "")); err == nil {
			block = append(block, bytes...)
		}
	}
	block[126]++
	block[127]--
	extension := make([]byte, 128)
	copy(extension, []byte{0x02, 0x03, 0x04, 0x40})
	for _, b := range extension[:127] {
		extension[127] -= b
	}
	return string(block) + string(extension)
}

func everySum() []In {
	return []In{
		sum("dock", "rate", "HBR2", "lanes", "2", "picture", "2160p60"), sum("dock", "rate", "HBR2", "lanes", "4", "picture", "2160p60"),
		sum("link", "format", "2160p60", "part", "display=300 MHz"), sum("link", "format", "1080p60", "part", "display=300 MHz"),
		sum("usb-power", "device", "100mA"), sum("usb-power", "device", "900mA"), sum("usb-power", "hub", "bus-powered", "device", "500mA"),
		sum("usb-bandwidth", "stream", "720p30 NV12", "path", "5g"), sum("usb-bandwidth", "stream", "1080p30 YUY2"),
		sum("hdcp", "device", "source=2.2", "device", "display=2.2"), sum("hdcp", "device", "source=2.2", "device", "display=1.4"),
		sum("hdcp", "device", "source=2.2", "device", "display=none"),
		sum("speaker-line", "speaker", "6W x 10", "measured", "167 ohm"), sum("speaker-line", "speaker", "6W x 10", "measured", "80 ohm"),
		sum("subnet", "host", "169.254.3.4/16"), sum("subnet", "host", "192.168.1.4/24", "gateway", "192.168.2.1"),
		sum("subnet", "host", "192.168.1.4/25", "other", "192.168.1.200/24"),
		sum("voltage-drop", "supply", "12V", "current", "3A", "length", "30m", "wire", "0.5mm2", "least", "10.8V"),
		sum("serial", "baud", "9600", "length", "200m"), sum("audio-level", "level", "24 dBu", "clip", "18 dBu"),
		sum("igmp", "died-after", "4min 20s"),
	}
}

// TestFactNames holds the names and values of facts against what the files of
// package reading really give.
func TestFactNames(t *testing.T) {
	files, err := filepath.Glob(toolFiles + "*.txt")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	known := Instruments()
	for _, path := range files {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		readings, err := reading.Read(data)
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		for _, r := range readings {
			for _, f := range r.Facts {
				kind, ok := known.Facts[f.Name]
				value := FactValue(f.Value)
				if !ok || len(kind.Values) > 0 && !strings.Contains(" "+strings.Join(kind.Values, " ")+" ", " "+value+" ") {
					t.Errorf("%s: %s = %s is not among the known facts", path, f.Name, value)
				}
			}
		}
	}
}
