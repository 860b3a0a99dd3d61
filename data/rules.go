// Package data carries the rule tables that every club starts from: crops,
// classes, methods, stores, mixes, pots, feeds and tasks. They stand in the
// binary, so that it works alone in an empty folder; a club's own table
// replaces the one here whole.
package data

import "embed"

// Rules holds the rule tables by their file names (crops.csv).
//
//go:embed crops.csv classes.csv methods.csv stores.csv mixes.csv pots.csv feeds.csv tasks.csv
var Rules embed.FS
