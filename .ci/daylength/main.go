// Command daylength prints the daylength of package phenology as CSV with the
// columns lat,doy,hours: latitudes −60 to 60 in steps of 5, every third day.
package main

import (
	"fmt"

	"bloomtide/phenology"
)

func main() {
	fmt.Println("lat,doy,hours")
	for lat := -60; lat <= 60; lat += 5 {
		for doy := 1; doy <= 365; doy += 3 {
			fmt.Printf("%d,%d,%.6f\n", lat, doy, phenology.Daylength(float64(lat), doy, phenology.TopOfDisc))
		}
	}
}
