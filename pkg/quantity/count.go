package quantity

import "fmt"

// Count tells a number of things: "1 block", "2 blocks".
func Count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
