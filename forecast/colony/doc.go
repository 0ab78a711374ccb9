// Package colony lets a colony of honey bees live through daily weather and a
// nectar supply: brood, house bees, foragers, winter bees, nectar, honey,
// pollen and the comb they take up. One step is one day, in two halves: rates
// from yesterday's state, then the new state, so that no order of update
// leaks. Every bee and every gram is in the Ledger.
//
// What it is not for: disease, mites, queens, robbing, and swarms, which it
// gives the odds of but does not let go.
//
// References, with how each was checked:
//
//   - Khoury, Myerscough and Barron 2011, PLoS ONE 6:e18491, and 2013, PLoS ONE
//     8:e59084: laying, brood, recruitment, foragers' loss, food (equations and
//     parameters read in public re-implementations).
//   - Schmickl and Crailsheim 2007, Ecol. Modelling 204:219: laying over the
//     year (from memory).
//   - Park 1928: nectar trips in a day (abstract read).
//   - Burgett and Burikam 1985, J. Econ. Entomol. 78:1154: bees on a comb (from
//     memory).
//   - Moeller 1977, USDA Production Research Report 169: pollen for brood (read).
package colony
