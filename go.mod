module ripeward

go 1.26.0

require (
	github.com/BurntSushi/toml v1.6.0
	github.com/gocarina/gocsv v0.0.0-20240520201108-78e41c74b4b1
	github.com/golang/freetype v0.0.0-20170609003504-e2365dfdc4a0
	github.com/google/go-cmp v0.7.0
	github.com/leonelquinteros/gotext v1.7.2
	github.com/wcharczuk/go-chart/v2 v2.1.2
	github.com/yuin/goldmark v1.8.7
	golang.org/x/sync v0.25.0
	golang.org/x/sys v0.50.0
	gonum.org/v1/gonum v0.17.0
)

// Tests only.
require (
	github.com/chromedp/cdproto v0.159.0
	github.com/chromedp/chromedp v0.23.0
	github.com/rogpeppe/go-internal v1.16.0
	golang.org/x/net v0.62.0
)

require (
	github.com/go-json-experiment/json v0.0.0-20260213210345-44df1a37e875 // indirect
	golang.org/x/image v0.47.0 // indirect
	golang.org/x/tools v0.31.0 // indirect
)
