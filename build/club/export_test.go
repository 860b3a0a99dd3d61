package club

// SetLimits lowers the limits of a table and returns how to undo it.
func SetLimits(fileBytes int64, rows int) (undo func()) {
	b, r := maxFileBytes, maxRows
	maxFileBytes, maxRows = fileBytes, rows
	return func() { maxFileBytes, maxRows = b, r }
}
