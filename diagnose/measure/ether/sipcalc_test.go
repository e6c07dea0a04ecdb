package ether

import (
	"fmt"
	"os/exec"
	"regexp"
	"strings"
	"testing"
)

// Reference: sipcalc (Debian). A missing tool fails the test: without it the
// subnets would go unchecked.
func TestAgainstSipcalc(t *testing.T) {
	path, err := exec.LookPath("sipcalc")
	if err != nil {
		t.Fatal("sipcalc is needed to check the subnets and is not installed; apt-get install --no-install-recommends sipcalc")
	}
	value := func(out, label string) string {
		m := regexp.MustCompile(`(?m)^` + regexp.QuoteMeta(label) + `\s+- (.+)$`).FindStringSubmatch(out)
		if m == nil {
			return ""
		}
		return strings.TrimSpace(m[1])
	}
	for _, address := range []string{"192.168.10.37", "172.16.5.200", "10.20.30.40", "203.0.113.129", "0.0.0.1", "255.255.255.254"} {
		for bits := 0; bits <= 32; bits++ {
			host := fmt.Sprintf("%s/%d", address, bits)
			raw, err := exec.Command(path, host).CombinedOutput()
			if err != nil {
				t.Fatalf("sipcalc %s: %v\n%s", host, err, raw)
			}
			out := string(raw)
			s, err := ParseHost(host)
			if err != nil {
				t.Fatal(err)
			}
			got := fmt.Sprintf("%s %s %s %d", s.Network, s.Mask, s.Broadcast, s.Addresses)
			want := fmt.Sprintf("%s %s %s %s", value(out, "Network address"), value(out, "Network mask"),
				value(out, "Broadcast address"), value(out, "Addresses in network"))
			if bits == 0 { // the tool prints 4294967295 or 0 for 2^32, one short or wrapped round
				want = fmt.Sprintf("%s %s %s %d", value(out, "Network address"), value(out, "Network mask"), value(out, "Broadcast address"), uint64(1)<<32)
			}
			if got != want {
				t.Errorf("%s: got %s, sipcalc prints %s", host, got, want)
			}
			// The tool prints no usable range for /31 and /32.
			if usable := value(out, "Usable range"); usable != "" && usable != fmt.Sprintf("%s - %s", s.First, s.Last) {
				t.Errorf("%s: usable %s - %s, sipcalc prints %s", host, s.First, s.Last, usable)
			}
		}
	}
}

// FuzzParseHost: no text may panic; the host is always inside its own subnet.
func FuzzParseHost(f *testing.F) {
	for _, seed := range []string{"192.168.10.37/26", "10.0.0.1 255.0.0.0", "1.2.3.4/0", "::1/64", "1.2.3.4//8"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseHost(text)
		if err == nil && (!s.Holds(s.Host) || !s.Holds(s.First) || !s.Holds(s.Last) || s.Usable == 0) {
			t.Fatalf("%q gives %+v", text, s)
		}
	})
}
