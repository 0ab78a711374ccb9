// Package forecast puts a year's plan together: an Ensemble of weather, the
// bloom, flow and work in each of its members, and the windows and odds over
// all of them. Start with Run.
//
// It is a pure function of its arguments: the issue date is passed in, chance
// comes from seeds named here, and the same inputs give the same result.
package forecast
