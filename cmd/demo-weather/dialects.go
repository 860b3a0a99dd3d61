package main

import (
	"bytes"
	"fmt"
	"strings"

	"ripeward/build/day"
)

// decimal prints tenths with one decimal, from whole numbers.
func decimal(t int) string {
	sign := ""
	if t < 0 {
		sign, t = "-", -t
	}
	return fmt.Sprintf("%s%d.%d", sign, t/10, t%10)
}

// rain returns the amount in tenths of mm and whether it was a trace.
func rain(q reading) (amount int, trace bool) {
	switch q.Rain {
	case noRain:
		return 0, false
	case traceRain:
		return 0, true
	}
	return q.Rain, false
}

// ghcnFlags returns "M,Q,S" as in the ATTRIBUTES columns.
func ghcnFlags(m, q string) string { return m + "," + q + ",X" }

// wideCSV writes GHCN-Daily's one-station CSV: whole tenths, padded to five,
// one row a day, an attributes column after each element (NCEI, "GHCN-Daily
// by-station CSV", readme of the access folder).
func wideCSV(s site, days []reading) []byte {
	var b bytes.Buffer
	b.WriteString(`"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"` + "\n")
	row := func(q reading, lo, hi int) {
		if q.NoMin && q.NoMax && q.NoPrecip {
			return // the publisher leaves out a day without any value
		}
		cell := func(gone bool, v int, m, f string) {
			if gone {
				b.WriteString(`,,`)
				return
			}
			fmt.Fprintf(&b, `,"%5d","%s"`, v, ghcnFlags(m, f))
		}
		fmt.Fprintf(&b, `"%s","%s","%s","%s","%d.0","%s"`, s.ID, q.Day, s.Lat, s.Lon, s.Elevation, s.Name)
		amount, trace := rain(q)
		m := ""
		if trace {
			m = "T"
		}
		cell(q.NoPrecip, amount, m, "")
		cell(q.NoMax, hi, "", q.QMax)
		cell(q.NoMin, lo, "", q.QMin)
		b.WriteByte('\n')
	}
	for _, q := range days {
		row(q, q.TMin, q.TMax)
		if q.RepeatedAfter {
			row(q, q.RepeatMin, q.RepeatX)
		}
	}
	return b.Bytes()
}

// dly writes GHCN-Daily's fixed-width form: a line per month and element, 31
// values of five columns with three flags each, -9999 where there is none
// (GHCN-Daily readme, section III).
func dly(s site, days []reading) []byte {
	var b bytes.Buffer
	at := map[day.Date]reading{}
	for _, q := range days {
		at[q.Day] = q
	}
	for y := s.From.Year(); y <= s.Through.Year(); y++ {
		for m := 1; m <= 12; m++ {
			for _, element := range []string{"TMAX", "TMIN", "PRCP"} {
				line := fmt.Sprintf("%-11s%04d%02d%s", s.ID, y, m, element)
				some := false
				for d := 1; d <= 31; d++ {
					q, ok := at[day.Of(y, m, d)]
					value, flags := -9999, "   "
					if ok && d <= day.DaysIn(y, m) {
						switch element {
						case "TMAX":
							if !q.NoMax {
								value, flags = q.TMax, flagged(" ", q.QMax)
							}
						case "TMIN":
							if !q.NoMin {
								value, flags = q.TMin, flagged(" ", q.QMin)
							}
						case "PRCP":
							if !q.NoPrecip {
								amount, trace := rain(q)
								mark := " "
								if trace {
									mark = "T"
								}
								value, flags = amount, flagged(mark, "")
							}
						}
					}
					some = some || value != -9999
					line += fmt.Sprintf("%5d%s", value, flags)
				}
				if some {
					b.WriteString(line + "\n")
				}
			}
		}
	}
	return b.Bytes()
}

func flagged(m, q string) string {
	if q == "" {
		q = " "
	}
	return m + q + "X"
}

// canadaDaily writes the daily CSV of Environment and Climate Change Canada's
// historical climate data download, with its byte order mark and flags (M
// missing, E estimated, T trace).
func canadaDaily(s site, days []reading) []byte {
	columns := []string{"Longitude (x)", "Latitude (y)", "Station Name", "Climate ID", "Date/Time", "Year", "Month", "Day", "Data Quality"}
	for _, c := range []string{"Max Temp (°C)", "Min Temp (°C)", "Mean Temp (°C)", "Heat Deg Days (°C)", "Cool Deg Days (°C)",
		"Total Rain (mm)", "Total Snow (cm)", "Total Precip (mm)", "Snow on Grnd (cm)", "Dir of Max Gust (10s deg)", "Spd of Max Gust (km/h)"} {
		name := c[:strings.LastIndex(c, " (")]
		columns = append(columns, c, name+" Flag")
	}
	var b bytes.Buffer
	b.WriteString("\ufeff")
	write := func(cells []string) {
		for i, c := range cells {
			if i > 0 {
				b.WriteByte(',')
			}
			b.WriteString(`"` + c + `"`)
		}
		b.WriteByte('\n')
	}
	write(columns)
	for _, q := range days {
		y, m, d := q.Day.YMD()
		cells := []string{s.Lon, s.Lat, s.Name, s.ID, q.Day.String(), fmt.Sprint(y), fmt.Sprintf("%02d", m), fmt.Sprintf("%02d", d), ""}
		put := func(gone bool, t int, flag string) {
			if gone {
				cells = append(cells, "", "M")
				return
			}
			cells = append(cells, decimal(t), flag)
		}
		e := ""
		if q.Estimated {
			e = "E"
		}
		mean := halved(q.TMin + q.TMax)
		noMean := q.NoMin || q.NoMax
		amount, trace := rain(q)
		flag := ""
		if trace {
			flag = "T"
		}
		wetRain, snow := amount, 0
		if mean <= 5 { // half a degree
			wetRain, snow = 0, amount
		}
		put(q.NoMax, q.TMax, e)
		put(q.NoMin, q.TMin, e)
		put(noMean, mean, e)
		put(noMean, max(0, 180-mean), e)
		put(noMean, max(0, mean-180), e)
		put(q.NoPrecip, wetRain, flag)
		put(q.NoPrecip, snow, flag)
		put(q.NoPrecip, amount, flag)
		cells = append(cells, "", "", "", "", "", "")
		write(cells)
	}
	return b.Bytes()
}

// halved returns half of the sum of two tenths, rounded away from zero.
func halved(sum int) int {
	if sum < 0 {
		return -((-sum + 1) / 2)
	}
	return (sum + 1) / 2
}

// summaries writes a daily-summaries order in metric units: decimals, the
// date after the place (NCEI, "Daily Summaries" order CSV).
func summaries(s site, days []reading) []byte {
	var b bytes.Buffer
	b.WriteString(`"STATION","NAME","LATITUDE","LONGITUDE","ELEVATION","DATE","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"` + "\n")
	for _, q := range days {
		if q.NoMin && q.NoMax && q.NoPrecip {
			continue
		}
		cell := func(gone bool, v int, m, f string) {
			if gone {
				b.WriteString(`,,`)
				return
			}
			fmt.Fprintf(&b, `,"%s","%s"`, decimal(v), ghcnFlags(m, f))
		}
		fmt.Fprintf(&b, `"%s","%s","%s","%s","%d.0","%s"`, s.ID, s.Name, s.Lat, s.Lon, s.Elevation, q.Day)
		amount, trace := rain(q)
		m := ""
		if trace {
			m = "T"
		}
		cell(q.NoPrecip, amount, m, "")
		cell(q.NoMax, q.TMax, "", q.QMax)
		cell(q.NoMin, q.TMin, "", q.QMin)
		b.WriteByte('\n')
	}
	return b.Bytes()
}

// plain writes the simplest form: a member's own thermometer and gauge.
func plain(_ site, days []reading) []byte {
	var b bytes.Buffer
	b.WriteString("date,tmin_c,tmax_c,precip_mm\n")
	for _, q := range days {
		cell := func(gone bool, t int) string {
			if gone {
				return ""
			}
			return decimal(t)
		}
		amount, _ := rain(q)
		fmt.Fprintf(&b, "%s,%s,%s,%s\n", q.Day, cell(q.NoMin, q.TMin), cell(q.NoMax, q.TMax), cell(q.NoPrecip, amount))
	}
	return b.Bytes()
}
