"""Compare lat,doy,hours on standard input with pyephem: from the rising to the
setting of the sun's upper edge through the day's noon, refraction 34 minutes of
arc, in the four years of a leap cycle in turn. Exit 1 where a value is too far
off: by more than 0.08 h up to 45 degrees and 0.13 h up to 60, the differences
that Forsythe's model is known to have about the equinoxes.
"""
import csv
import datetime
import math
import sys

import ephem

YEARS = (2021, 2022, 2023, 2024)


def hours(lat, day):
    """Hours from sunrise to sunset about noon of a date at longitude 0."""
    at = ephem.Observer()
    at.lat, at.lon, at.elevation = str(lat), "0", 0
    at.pressure, at.horizon = 0, "-0:34"
    at.date = ephem.Date(datetime.datetime.combine(day, datetime.time(12)))
    sun = ephem.Sun()
    return (at.next_setting(sun) - at.previous_rising(sun)) * 24


def allowed(lat):
    return 0.08 if abs(lat) <= 45 else 0.13


worst, bad, n = {}, 0, 0
for row in csv.DictReader(sys.stdin):
    lat, doy, got = int(row["lat"]), int(row["doy"]), float(row["hours"])
    if not math.isfinite(got):
        sys.exit(f"not a number at {lat}, day {doy}")
    year = YEARS[n % len(YEARS)]
    n += 1
    off = abs(got - hours(lat, datetime.date(year, 1, 1) + datetime.timedelta(days=doy - 1)))
    worst[abs(lat)] = max(worst.get(abs(lat), 0), off)
    if off > allowed(lat):
        bad += 1
        print(f"latitude {lat}, day {doy} of {year}: {got} h is {off:.3f} h off")
if n < 1000:
    sys.exit(f"only {n} values came in")
print(f"{n} daylengths against pyephem {ephem.__version__}; largest difference, hours:")
print(", ".join(f"{lat}: {w:.3f}" for lat, w in sorted(worst.items())))
sys.exit(bad > 0)
