package station_test

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"slices"
	"strings"
	"testing"

	"ripeward/build/diag"
	"ripeward/build/station"
)

const (
	plainHead = "date,tmin_c,tmax_c,precip_mm\n2001-05-01,1.0,9.0,0.0\n"
	wideHead  = "STATION,DATE,LATITUDE,LONGITUDE,ELEVATION,NAME,PRCP,PRCP_ATTRIBUTES,TMAX,TMAX_ATTRIBUTES,TMIN,TMIN_ATTRIBUTES\n" +
		"XX1,2001-05-01,45.1,-75.2,79,\"HILL, XX\",0,\",,X\",90,\",,X\",10,\",,X\"\n"
	usHead = "STATION,NAME,DATE,PRCP,TMAX,TMIN\nXX1,HILL,2001-05-01,0.25,75,50\n"
	ecHead = "\"Climate ID\",\"Date/Time\",\"Max Temp (°C)\",\"Max Temp Flag\",\"Min Temp (°C)\",\"Min Temp Flag\",\"Total Precip (mm)\",\"Total Precip Flag\"\n" +
		"\"9999999\",\"2001-05-01\",\"9.0\",\"\",\"1.0\",\"\",\"0.0\",\"\"\n"
)

const (
	longHead = "XX000000001,20010501,TMAX,90,,,X,\nXX000000001,20010501,TMIN,10,,,X,0700\n"
	dwdHead  = "STATIONS_ID;MESS_DATUM;QN_4; RSK; TXK; TNK;eor\n       9999;20010501;   10; 0.0; 9.0; 1.0;eor\n"
	mfHead   = "NUM_POSTE;NOM_USUEL;LAT;LON;ALTI;AAAAMMJJ;RR;QRR;TN;QTN;TX;QTX\n99999001;COLLINE;45.1;-1.2;79;20010501;0.0;1;1.0;1;9.0;1\n"
	ecaHead  = "An invented file, in English\n\nFILE FORMAT (MISSING VALUE CODE IS -9999):\n\nSTAID, SOUID,    DATE,   TX, Q_TX\n999999,888888,20010501,   90,    0\n"
	msHead   = "station_abbr;reference_timestamp;tre200dx;tre200dn;rre150d0\nXXX;01.05.2001 00:00;9.0;1.0;0.0\n"
)

// dlyLine is a month of one element: the same cell on every day.
func dlyLine(month, element, cell string) string {
	return "XX000000001" + month + element + strings.Repeat(cell, 31)
}

// Every kind of broken row is set aside at its place and the good rows before
// and after it are read.
func TestBrokenRows(t *testing.T) {
	const after = "2001-05-03,3.0,12.0,1.0\n"
	dlyGood := dlyLine("200105", "TMAX", "   90  X") + "\n"
	for _, c := range []struct {
		name, text  string
		line, col   int
		element     string
		reason      string
		listedTotal int
	}{
		{"not a date", plainHead + "yesterday,2.0,10.0,0.0\n" + after, 3, 1, "row", "date not of the form YYYY-MM-DD", 1},
		{"slashed date", plainHead + "05/02/2001,2.0,10.0,0.0\n" + after, 3, 1, "row", "date not of the form YYYY-MM-DD", 1},
		{"empty date", plainHead + ",2.0,10.0,0.0\n" + after, 3, 1, "row", "date not of the form YYYY-MM-DD", 1},
		{"31 June", plainHead + "2001-06-31,2.0,10.0,0.0\n" + after, 3, 1, "row", "day not in the calendar", 1},
		{"29 February 1900", plainHead + "1900-02-29,2.0,10.0,0.0\n" + after, 3, 1, "row", "day not in the calendar", 1},
		{"month 13", plainHead + "2001-13-01,2.0,10.0,0.0\n" + after, 3, 1, "row", "day not in the calendar", 1},
		{"year 1699", plainHead + "1699-05-02,2.0,10.0,0.0\n" + after, 3, 1, "row", "date outside 1700-2200", 1},
		{"year 2201", plainHead + "2201-05-02,2.0,10.0,0.0\n" + after, 3, 1, "row", "date outside 1700-2200", 1},
		{"a word for a number", plainHead + "2001-05-02,cold,10.0,0.0\n" + after, 3, 12, "tmin", "not a number", 1},
		{"two points", plainHead + "2001-05-02,2.0,1.0.0,0.0\n" + after, 3, 16, "tmax", "not a number", 1},
		{"exponent", plainHead + "2001-05-02,2.0,1e1,0.0\n" + after, 3, 16, "tmax", "not a number", 1},
		{"sign alone", plainHead + "2001-05-02,2.0,+,0.0\n" + after, 3, 16, "tmax", "not a number", 1},
		{"hexadecimal", plainHead + "2001-05-02,2.0,0x10,0.0\n" + after, 3, 16, "tmax", "not a number", 1},
		{"NaN", plainHead + "2001-05-02,NaN,10.0,0.0\n" + after, 3, 12, "tmin", "number not finite", 1},
		{"infinite", plainHead + "2001-05-02,2.0,+Inf,0.0\n" + after, 3, 16, "tmax", "number not finite", 1},
		{"too cold", plainHead + "2001-05-02,-90.1,10.0,0.0\n" + after, 3, 12, "tmin", "outside physical limits", 1},
		{"too hot", plainHead + "2001-05-02,2.0,60.1,0.0\n" + after, 3, 16, "tmax", "outside physical limits", 1},
		{"huge", plainHead + "2001-05-02,2.0,99999999999999999999999,0.0\n" + after, 3, 16, "tmax", "outside physical limits", 1},
		{"negative rain", plainHead + "2001-05-02,2.0,10.0,-0.1\n" + after, 3, 21, "precip", "outside physical limits", 1},
		{"a flood", plainHead + "2001-05-02,2.0,10.0,2000.1\n" + after, 3, 21, "precip", "outside physical limits", 1},
		{"crossed", plainHead + "2001-05-02,10.0,2.0,0.0\n" + after, 3, 12, "tmin", "tmin above tmax", 2},
		{"repeated", plainHead + "2001-05-01,1.5,9.0,0.0\n" + after, 3, 12, "tmin", "repeated date with another value", 1},
		{"too few fields", plainHead + "2001-05-02,2.0\n" + after, 3, 15, "row", "number of fields differs from the header", 1},
		{"too many fields", plainHead + "2001-05-02,2.0,10.0,0.0,7\n" + after, 3, 25, "row", "number of fields differs from the header", 1},
		{"decimal comma among commas", plainHead + "2001-05-02,2,0,10,0,0,0\n" + after, 3, 19, "row", "number of fields differs from the header", 1},
		{"open quote", plainHead + "2001-05-02,\"2.0,10.0,0.0\n" + after, 3, 12, "row", "quote not closed or misplaced", 1},
		{"text after a quote", plainHead + "2001-05-02,\"2.0\"x,10.0,0.0\n" + after, 3, 12, "row", "quote not closed or misplaced", 1},
		{"not UTF-8", plainHead + "2001-05-02,2.0,10.0,\xff\n" + after, 3, 21, "row", "not UTF-8", 1},
		{"NUL bytes", plainHead + "2001-05-02,2.0,\x00\x00\x00,0.0\n" + after, 3, 16, "tmax", "not a number", 1},
		{"long line", plainHead + "2001-05-02,2.0,10.0," + strings.Repeat("0", 1<<20) + "\n" + after, 3, 64<<10 + 1, "row", "line longer than 64 kB", 1},
		{"line just too long", plainHead + "2001-05-02,2.0,10.0," + strings.Repeat("0", 64<<10) + "\n" + after, 3, 64<<10 + 1, "row", "line longer than 64 kB", 1},
		{"a page of HTML", plainHead + "<html><body>Service unavailable</body></html>\n" + after, 3, 46, "row", "number of fields differs from the header", 1},

		{"GHCN quality flag", wideHead + "XX1,2001-05-02,45.1,-75.2,79,\"HILL, XX\",0,\",,X\",100,\",S,X\",20,\",,X\"\n", 3, 49, "tmax", "quality flag says failed or doubtful", 1},
		{"GHCN decimals", wideHead + "XX1,2001-05-02,45.1,-75.2,79,\"HILL, XX\",0,\",,X\",100,\",,X\",2.5,\",,X\"\n", 3, 59, "tmin", "not a whole number of tenths", 1},
		{"name not quoted", wideHead + "XX1,2001-05-02,45.1,-75.2,79,HILL, XX,0,\",,X\",100,\",,X\",20,\",,X\"\n", 3, 60, "row", "number of fields differs from the header", 1},
		{"no station", wideHead + ",2001-05-02,45.1,-75.2,79,\"HILL, XX\",0,\",,X\",100,\",,X\",20,\",,X\"\n", 3, 1, "row", "no station id", 1},
		{"°F out of reach", usHead + "XX1,HILL,2001-05-02,0.00,141,50\n", 3, 26, "tmax", "outside physical limits", 1},
		{"ECCC amount uncertain", ecHead + "\"9999999\",\"2001-05-02\",\"9.0\",\"\",\"1.0\",\"\",\"0.0\",\"C\"\n", 3, 43, "precip", "publisher says amount uncertain", 1},
		{"ECCC missing with a value", ecHead + "\"9999999\",\"2001-05-02\",\"9.0\",\"M\",\"1.0\",\"\",\"0.0\",\"\"\n", 3, 25, "tmax", "flag says missing beside a value", 1},

		{"by year, quality flag", longHead + "XX000000001,20010502,TMAX,100,,S,X,\n", 3, 27, "tmax", "quality flag says failed or doubtful", 1},
		{"by year, several days", longHead + "XX000000001,20010502,MDPR,211,,,X,\n", 3, 27, "precip", "total of several days", 1},
		{"by year, too few fields", longHead + "XX000000001,20010502,TMAX,100\n", 3, 30, "row", "number of fields differs from the header", 1},
		{"by year, too many fields", longHead + "XX000000001,20010502,TMAX,100,,,X,0700,9\n", 3, 40, "row", "number of fields differs from the header", 1},
		{"by year, decimals", longHead + "XX000000001,20010502,TMAX,10.5,,,X,\n", 3, 27, "tmax", "not a whole number of tenths", 1},
		{"by year, day 31 of June", longHead + "XX000000001,20010631,TMAX,100,,,X,\n", 3, 13, "row", "day not in the calendar", 1},
		{"by year, no station", longHead + ",20010502,TMAX,100,,,X,\n", 3, 1, "row", "no station id", 1},
		{"by year, open quote", longHead + "XX000000001,20010502,\"TMAX,100,,,X,\n", 3, 22, "row", "quote not closed or misplaced", 1},
		{"by year, a line of another file", longHead + "2001,05,02,100,20,0,0\n", 3, 1, "row", "not a row of this dialect", 1},
		{"by year, another value", longHead + "XX000000001,20010501,TMAX,95,,,X,\n", 3, 27, "tmax", "repeated date with another value", 1},

		{"DWD date", dwdHead + "       9999;2001-5-2;   10; 0.0;10.0; 2.0;eor\n", 3, 13, "row", "date not of the form YYYY-MM-DD", 1},
		{"DWD letters", dwdHead + "       9999;20010502;   10; 0.0; warm; 2.0;eor\n", 3, 33, "tmax", "not a number", 1},
		{"DWD cut off", dwdHead + "       9999;20010502;   10; 0.0\n", 3, 32, "row", "number of fields differs from the header", 1},
		{"DWD no station", dwdHead + "           ;20010502;   10; 0.0;10.0; 2.0;eor\n", 3, 1, "row", "no station id", 1},
		{"Météo-France doubtful", mfHead + "99999001;COLLINE;45.1;-1.2;79;20010502;0.0;1;2.0;2;10.0;1\n", 3, 46, "tmin", "quality flag says failed or doubtful", 1},
		{"Météo-France month 13", mfHead + "99999001;COLLINE;45.1;-1.2;79;20011302;0.0;1;2.0;1;10.0;1\n", 3, 31, "row", "day not in the calendar", 1},
		{"Météo-France too few fields", mfHead + "99999001;COLLINE;45.1;-1.2;79;20010502;0.0;1;2.0;1\n", 3, 51, "row", "number of fields differs from the header", 1},
		{"ECA&D suspect", ecaHead + "999999,888888,20010502,  455,    1\n", 7, 24, "tmax", "quality flag says failed or doubtful", 1},
		{"ECA&D missing with a value", ecaHead + "999999,888888,20010502,  100,    9\n", 7, 24, "tmax", "flag says missing beside a value", 1},
		{"ECA&D decimals", ecaHead + "999999,888888,20010502, 10.5,    0\n", 7, 24, "tmax", "not a whole number of tenths", 1},
		{"ECA&D prose among rows", ecaHead + "This is the end of the file.\n", 7, 29, "row", "number of fields differs from the header", 1},
		{"MeteoSwiss ISO date", msHead + "XXX;2001-05-02 00:00;10.0;2.0;0.0\n", 3, 5, "row", "date not in the form of this file", 1},
		{"MeteoSwiss day 31 of June", msHead + "XXX;31.06.2001 00:00;10.0;2.0;0.0\n", 3, 5, "row", "day not in the calendar", 1},
		{"MeteoSwiss no date", msHead + "XXX;;10.0;2.0;0.0\n", 3, 5, "row", "date not in the form of this file", 1},
		{"MeteoSwiss too hot", msHead + "XXX;02.05.2001 00:00;60.1;2.0;0.0\n", 3, 22, "tmax", "outside physical limits", 1},

		{"dly day 31 of June", dlyGood + dlyLine("200106", "TMIN", "   10  X"), 2, 262, "tmin", "day not in the calendar", 1},
		{"dly cut off", dlyGood + dlyLine("200105", "TMIN", "   10  X")[:100], 2, 101, "row", "row ends early", 1},
		{"dly letters", dlyGood + dlyLine("200105", "TMIN", "   10  X")[:21] + " cold  X" + strings.Repeat("   10  X", 30), 2, 22, "tmin", "not a number", 1},
		{"dly year 0999", dlyGood + dlyLine("099905", "TMIN", "   10  X"), 2, 12, "row", "date outside 1700-2200", 1},
		{"dly month 13", dlyGood + dlyLine("200113", "TMIN", "   10  X"), 2, 12, "row", "day not in the calendar", 1},
		{"dly quality flag", dlyGood + dlyLine("200105", "TMIN", "   10 GX")[:29] + strings.Repeat("   10  X", 30), 2, 22, "tmin", "quality flag says failed or doubtful", 1},
		{"dly several days", dlyGood + dlyLine("200105", "MDPR", "-9999   ")[:21+30*8] + "  211  X", 2, 262, "precip", "total of several days", 1},
		{"dly prose", dlyGood + "this line is not data at all, it is longer than a header\n", 2, 1, "row", "not a row of this dialect", 1},
		{"dly line too long", dlyGood + dlyLine("200105", "TMIN", "   10  X") + "  rest", 2, 270, "row", "not a row of this dialect", 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			// A month of one value is there for brevity: no quality control.
			recs, ps, err := station.ReadWith(strings.NewReader(c.text), station.Options{Name: "dir/odd.csv", Unchecked: true})
			if err != nil || len(recs) != 1 {
				t.Fatalf("%d records, %v, %v", len(recs), ps, err)
			}
			a := &recs[0].Account
			if len(a.SetAside) != c.listedTotal || a.SetAsideTotal() != c.listedTotal {
				t.Fatalf("listed %v, counted %v, want %d", a.SetAside, a.SetAsideCounts, c.listedTotal)
			}
			s := a.SetAside[0]
			want := diag.Place{File: "dir/odd.csv", Line: c.line, Column: c.col}
			if s.Place != want || s.Element != c.element || s.Reason != c.reason {
				t.Errorf("%v %s: %s, want %v %s: %s", s.Place, s.Element, s.Reason, want, c.element, c.reason)
			}
			if !slices.ContainsFunc(ps, func(p diag.Problem) bool { return p.Place == want && strings.Contains(p.Message, c.reason) }) {
				t.Errorf("no message at %v about it in %v", want, ps)
			}
			if ps.Count(diag.Error) > 0 {
				t.Errorf("a row stops the build: %v", ps)
			}
			if _, hi, _ := at(t, &recs[0].Series, "2001-05-01"); hi != 90 && hi != 239 {
				t.Errorf("the good row before is lost: %d", hi)
			}
			if strings.HasSuffix(c.text, after) {
				if lo, hi, rain := at(t, &recs[0].Series, "2001-05-03"); lo != 30 || hi != 120 || rain != 10 {
					t.Errorf("the good row after is lost: %d %d %d", lo, hi, rain)
				}
			}
		})
	}
}

func pack(t testing.TB, text string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	if _, err := z.Write([]byte(text)); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// A file that cannot be used at all gives one located error with a hint.
func TestBrokenFiles(t *testing.T) {
	var long strings.Builder
	long.WriteString("date,tmin_c\n")
	for i := range 60000 {
		fmt.Fprintf(&long, "20%02d-%02d-%02d,%d.%d\n", i%99, i%12+1, i%28+1, i%17, i*7%10)
	}
	packed := pack(t, long.String())
	flipped := bytes.Clone(packed)
	flipped[len(flipped)/2] ^= 0xff
	for _, c := range []struct {
		name string
		text []byte
		says string
		line int
	}{
		{"empty", nil, "empty", 1},
		{"only a byte order mark", []byte("\ufeff"), "empty", 1},
		{"only blank lines and comments", []byte("# nothing\n\n\r\n"), "empty", 1},
		{"header only", []byte("date,tmin_c,tmax_c\n"), "no rows", 1},
		{"GHCN header only", []byte(strings.SplitAfter(wideHead, "\n")[0]), "no rows", 1},
		{"prose", []byte("Dear members,\nthe weather was fine.\n"), "known dialect", 1},
		{"date alone", []byte("date,wind\n2001-05-01,3\n"), "known dialect", 1},
		{"no units in the names", []byte("date,tmin,tmax\n2001-05-01,3,4\n"), "known dialect", 1},
		{"hourly summary of another kind", []byte("STATION,DATE,TEMP,DEWP,PRCP,PRCP_ATTRIBUTES\nX,2001-05-01,3,4,0.00,G\n"), "known dialect", 1},
		{"binary", []byte{0, 1, 2, 3, 254, 255, 10, 13}, "known dialect", 1},
		{"UTF-16", []byte("\xff\xfed\x00a\x00"), "UTF-16", 1},
		{"zip", []byte("PK\x03\x04rest"), "zip", 1},
		{"gzip of nothing", pack(t, ""), "empty", 1},
		{"gzip header cut", packed[:5], "ends early", 1},
		{"gzip cut", packed[:len(packed)*3/4], "ends early", 0},
		{"gzip without its checksum", packed[:len(packed)-6], "ends early", 0},
		{"gzip damaged", flipped, "damaged", 0},
		{"same column twice", []byte("date,tmin_c,tmin_f\n2001-05-01,3,4\n"), "same thing", 1},
		{"undecidable order", []byte("STATION,NAME,DATE,TMAX,TMIN\nX,HILL,2001-05-01,30,20\n"), "metric or in US units", 1},
		{"header too long", []byte("date," + strings.Repeat("x", 100_000) + "\n2001-05-01,1\n"), "known dialect", 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, ps, err := station.Read("odd.csv", bytes.NewReader(c.text))
			if err != nil {
				t.Fatalf("content is not I/O: %v", err)
			}
			if ps.Count(diag.Error) != 1 {
				t.Fatalf("%d errors in %v", ps.Count(diag.Error), ps)
			}
			i := slices.IndexFunc(ps, func(p diag.Problem) bool { return p.Severity == diag.Error })
			p := ps[i]
			if !strings.Contains(p.Message, c.says) || p.Hint == "" {
				t.Errorf("%q (hint %q) does not say %q", p.Message, p.Hint, c.says)
			}
			if p.Place.File != "odd.csv" || p.Place.Line < 1 || c.line > 0 && p.Place.Line != c.line {
				t.Errorf("at %v", p.Place)
			}
			if strings.Contains(c.says, "known dialect") && !strings.Contains(p.Hint, "ghcn-dly") {
				t.Errorf("hint %q does not name the dialects", p.Hint)
			}
		})
	}
}

// What stands before the damage of a packed file is read.
func TestDamagedFileKeepsItsBeginning(t *testing.T) {
	var b strings.Builder
	b.WriteString("date,tmin_c\n")
	for i := range 20000 {
		fmt.Fprintf(&b, "%04d-%02d-%02d,%d.%d\n", 1900+i/336, i/28%12+1, i%28+1, i*i%17, i*7%10)
	}
	packed := pack(t, b.String())
	recs, ps, err := station.Read("cut.csv.gz", bytes.NewReader(packed[:len(packed)/2]))
	if err != nil || len(recs) != 1 || recs[0].Account.Rows < 1000 || ps.Count(diag.Error) != 1 {
		t.Fatalf("%d records, %v, %v", len(recs), ps, err)
	}
	if recs[0].ID != "cut" || recs[0].Account.SetAsideTotal() != 0 {
		t.Errorf("id %q, set aside %v", recs[0].ID, recs[0].Account.SetAside)
	}
}

func TestUnpackedLimit(t *testing.T) {
	defer station.SetMaxUnpacked(1 << 20)()
	text := plainHead + strings.Repeat("2001-05-03,3.0,12.0,1.0\n", 100_000)
	recs, ps, err := station.Read("big.csv.gz", bytes.NewReader(pack(t, text)))
	if err != nil || len(recs) != 1 {
		t.Fatalf("%d records, %v", len(recs), err)
	}
	if ps.Count(diag.Error) != 1 || !strings.Contains(ps[0].Message, "unpacked") {
		t.Errorf("%v", ps)
	}
}

// Counts go on where the list is full.
func TestListIsCapped(t *testing.T) {
	text := plainHead + strings.Repeat("2001-06-31,3.0,12.0,1.0\n", 3*station.MaxListed)
	r := one(t, "x.csv", []byte(text))
	if len(r.Account.SetAside) != station.MaxListed || r.Account.SetAsideCounts["day not in the calendar"] != 3*station.MaxListed {
		t.Errorf("%d listed, %v", len(r.Account.SetAside), r.Account.SetAsideCounts)
	}
}
