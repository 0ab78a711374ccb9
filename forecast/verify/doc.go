// Package verify scores forecasts against what happened: errors of a single
// date, the continuous ranked probability score of an ensemble, coverage of an
// interval, and the doubt of each score from the years it rests on.
//
// It knows nothing of bloom or bees. Scores have the unit of the values given,
// days throughout this project. No function changes its arguments.
//
// References, with how each was checked:
//
//   - Gneiting and Raftery 2007, J. Am. Stat. Assoc. 102:359: the score as
//     E|X−y| − ½E|X−X′|, its closed form for a normal distribution, and the
//     interval score (from memory; the forms were read in the documentation of
//     the Python package scoringrules and integrated numerically).
//   - Ferro, Richardson and Weigel 2008, Meteorol. Appl. 15:19, and Ferro 2014,
//     Q. J. R. Meteorol. Soc. 140:1917: the fair score (from memory; form read
//     in the documentation of the R package SpecsVerification).
//   - Efron and Tibshirani 1993, An Introduction to the Bootstrap: percentile
//     intervals (from memory).
package verify
