package main

import "ripeward/build/day"

// sites are the six invented stations. Their coordinates lie in open ocean,
// far from any real station. The data end in the middle of the last season, on
// a day that each publisher's delay sets.
func sites() []site {
	from := day.Of(firstYear, 1, 1)
	through := func(m, d int) day.Date { return day.Of(lastYear, m, d) }
	return []site{
		{
			ID: "XX000000001", Name: "OSTERMERE LANDING, INVENTED", File: "XX000000001.csv.gz",
			Lat: "45.62000", Lon: "-40.58000", Elevation: 92,
			Mean: 8000, Swing: 14300, Lag: 5, Range: 930, RainShare: 960, Local: 800,
			From: from, Through: through(8, 9), Write: wideCSV,
			Blemishes: []blemish{
				between(1991, 2, 9, 14, missing), on(1994, 7, 3, missing), on(2002, 11, 18, missing),
				on(1997, 6, 12, crossed), on(2009, 8, 21, failedCheck), on(2013, 1, 30, failedCheckMin),
				on(2016, 5, 4, repeated), between(2019, 3, 2, 2, missingMin), on(2021, 9, 9, missingRain),
			},
		},
		{
			ID: "XX000000002", Name: "BRINDLEMOUTH BRIDGE, INVENTED", File: "XX000000002.csv.gz",
			Lat: "45.71000", Lon: "-40.33000", Elevation: 118,
			Mean: 7700, Swing: 14900, Lag: 3, Range: 1010, RainShare: 1000, Local: 800,
			From: from, Through: through(8, 8), Write: wideCSV,
			Blemishes: []blemish{
				between(1989, 8, 1, 14, missing), on(1996, 4, 17, missing), on(2001, 12, 25, missing),
				on(2004, 7, 14, impossible), on(2011, 10, 5, failedCheck), between(2014, 7, 20, 3, missingRain),
				on(2023, 2, 11, missing),
			},
		},
		{
			ID: "XX000000003", Name: "HURDLEBECK FORGE", File: "XX000000003.dly.gz",
			Lat: "45.8300", Lon: "-40.1200", Elevation: 205,
			Mean: 7250, Swing: 14700, Lag: 3, Range: 1040, RainShare: 1030, Local: 900,
			From: day.Of(1993, 5, 1), Through: through(8, 6), Write: dly,
			Blemishes: []blemish{
				on(1999, 3, 3, missing), on(2006, 6, 30, failedCheckMin), on(2010, 9, 19, failedCheck),
				on(2012, 5, 27, crossed), between(2018, 11, 3, 14, missing), on(2024, 6, 6, missingRain),
			},
		},
		{
			ID: "XX00004", Name: "NORROWBY AERODROME, INVENTED", File: "XX00004.csv.gz",
			Lat: "46.05", Lon: "-40.41", Elevation: 268,
			Mean: 6800, Swing: 14600, Lag: 3, Range: 980, RainShare: 1060, Local: 900,
			From: from, Through: through(8, 9), Write: canadaDaily,
			Blemishes: []blemish{
				on(1987, 10, 2, missing), between(1995, 1, 12, 3, estimated), between(2003, 8, 14, 2, estimated),
				between(2008, 6, 10, 14, missing), on(2015, 4, 8, missingMin), on(2017, 12, 31, missingRain),
				on(2018, 7, 15, spikeMax), between(2022, 5, 18, 4, estimated),
			},
		},
		{
			ID: "XX000000005", Name: "CINDERHOLT RESERVOIR, INVENTED", File: "XX000000005.csv.gz",
			Lat: "46.21000", Lon: "-40.07000", Elevation: 430,
			Mean: 5850, Swing: 14200, Lag: 4, Range: 930, RainShare: 1180, Local: 900,
			From: from, Through: through(8, 7), Write: summaries,
			Blemishes: []blemish{
				on(1990, 5, 5, missing), on(1998, 8, 8, failedCheck), on(2000, 2, 29, missing),
				between(2007, 12, 20, 14, missing), on(2020, 6, 1, failedCheckMin), on(2025, 7, 7, missing),
			},
		},
		{
			ID: "XX000000006", Name: "Pinderfell school garden", File: "XX000000006.csv.gz",
			Lat: "46.34", Lon: "-40.29", Elevation: 545,
			Mean: 5250, Swing: 14000, Lag: 4, Range: 900, RainShare: 1260, Local: 1000,
			From: from, Through: day.Of(2022, 10, 16), Write: plain,
			Blemishes: []blemish{
				on(1992, 7, 1, missing), on(1993, 7, 11, crossed), between(2005, 7, 9, 14, missing),
				between(2011, 5, 1, 24, stuckMin), on(2013, 9, 2, missing), on(2021, 1, 6, impossible),
			},
		},
	}
}
