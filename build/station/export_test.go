package station

// SetMaxUnpacked lets a test reach the limit of the unpacked size.
func SetMaxUnpacked(n int64) (restore func()) {
	old := maxUnpacked
	maxUnpacked = n
	return func() { maxUnpacked = old }
}
