// Package calibrate fits phenology.Stage models to bloom dates that somebody
// has seen, with the weather of the same place, and says how far off they are.
//
// The loss is the error in days, never the spread of the sums, which would
// favour thresholds that are too low. A grid of models is searched whole,
// and all that come within a tenth of a day of the best are kept and averaged:
// thresholds, biofix and need trade against each other, and their predictions
// are worth more than their values. For thermal time and sigmoid forcing a
// simplex goes on between the points of the grid, from the best of them, without
// each year anew; what it finds joins the average with the weight of that best
// point. On the open records it changes next to nothing: the median error of
// years not seen is 4.06 days with it and without it, that of three years of
// records, with the forage table as it comes, 4.06 in place of 4.05. Regional
// fits and the other families are by the grid alone.
//
// Every error that is reported is of years that the fit did not see: the fit is
// done again without each year. The choice of the family without a year rests on
// errors in the other years of models that saw it; Fit.Nested holds what comes
// out where it rests on models that did not. Where a few years cannot carry a
// fit, a row of the forage table is shifted by as many days as the years so far
// justify.
//
// References, with how each was checked:
//
//   - Ruml et al. 2010, thresholds by the error in days (abstract read).
//   - Taylor et al. 2018, Ecology, comparison of models on open records; errors
//     recomputed from its published predictions (read).
//   - Breiman, Friedman, Olshen and Stone 1984, the simplest model within one
//     standard error (from memory).
//   - Nelder and Mead 1965, The Computer Journal 7, 308-313, the simplex (from
//     memory; the steps are gonum's).
//   - Gelman et al. 2013, Bayesian Data Analysis, section 2.5, the normal mean
//     with a normal prior (from memory).
package calibrate
