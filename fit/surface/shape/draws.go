package shape

import "math"

// Draws is how many random samples of s points must be drawn so that with
// probability p one at least holds no outlier, where the share w of the points
// are inliers (Fischler and Bolles, Comm. ACM 24 (1981) 381). p and w lie
// between 0 and 1.
func Draws(p, w float64, s int) int {
	good := math.Pow(w, float64(s))
	if good >= 1 {
		return 1
	}
	return max(int(math.Ceil(math.Log(1-p)/math.Log1p(-good))), 1)
}
