package portable

// The methods and coefficients of Exp, Log and Erfc are those of FreeBSD's
// msun (e_exp.c, e_log.c, s_erf.c), which came with this notice:
//
//	Copyright (C) 1993, 2004 by Sun Microsystems, Inc. All rights reserved.
//
//	Developed at SunPro, a Sun Microsystems, Inc. business.
//	Permission to use, copy, modify, and distribute this
//	software is freely granted, provided that this notice
//	is preserved.
