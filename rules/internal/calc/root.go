package calc

import "math"

// root finds the zero of f between lo and hi, where f has opposite signs, to
// within tol. If the signs agree it returns the end where f is nearer zero.
//
// The method is Chandrupatla's: inverse quadratic interpolation where that is
// safe, else bisection. T. R. Chandrupatla, Advances in Engineering Software
// 28 (1997) 145.
func root(f func(float64) float64, lo, hi, tol float64) float64 {
	a, fa := hi, f(hi)
	b, fb := lo, f(lo)
	if (fa > 0) == (fb > 0) {
		if math.Abs(fa) < math.Abs(fb) {
			return a
		}
		return b
	}
	c, fc := b, fb
	t := 0.5
	for range 100 {
		x := a + t*(b-a)
		fx := f(x)
		if (fx > 0) == (fa > 0) {
			c, fc = a, fa
		} else {
			c, fc = b, fb
			b, fb = a, fa
		}
		a, fa = x, fx
		best := a
		if math.Abs(fb) < math.Abs(fa) {
			best = b
		}
		edge := tol / (2 * math.Abs(b-a))
		if edge > 0.5 || fa == 0 || fb == 0 {
			return best
		}
		t = chandrupatlaStep(a, b, c, fa, fb, fc, edge)
	}
	return a
}

// chandrupatlaStep returns the next point as a fraction of the way from a to
// b, at least edge away from both.
func chandrupatlaStep(a, b, c, fa, fb, fc, edge float64) float64 {
	xi, phi := (a-b)/(c-b), (fa-fb)/(fc-fb)
	t := 0.5
	if phi*phi < xi && (1-phi)*(1-phi) < 1-xi {
		t = fa/(fb-fa)*fc/(fb-fc) + (c-a)/(b-a)*fa/(fc-fa)*fb/(fc-fb)
	}
	return min(max(t, edge), 1-edge)
}
