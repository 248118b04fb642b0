"""Where the steps come from: bulletins, notices and rules, each named once.

Suppliers' and contractors' pages are quoted without names.
"""

from typing import Final

AVION: Final = "Avion Water (Central Oregon), notices to customers"
CONTRACTORS: Final = "contractors' practice (pages, names withheld)"
COLORADO: Final = "CBS Denver, 8 Oct 2019; KUSA (television advice)"
DURHAM: Final = "City of Durham (NC), advice to customers"
FORT_COLLINS: Final = "Fort Collins Coloradoan, 14 Oct 2022"
GEORGIA: Final = "University of Georgia Extension C1094, drip winterization"
GOLF: Final = "Maryland golf practices, winterization and spring startup"
IOWA: Final = "Iowa State University Extension, turfgrass, 12 Nov 2009"
LAKE_OSWEGO: Final = "Lake Oswego-Tigard Water (OR), Oct 2021"
LOCKED_OUT: Final = "29 CFR 1910.147, as good practice; pump suppliers' pages"
MEDFORD: Final = "Medford Water (OR), Nov 2021"
MEMORY: Final = "common practice, from memory, unverified"
MICHIGAN: Final = "L. Kelley, Michigan State University Extension"
NORTH_RIVERSIDE: Final = "North Riverside (IL), winterizing; WAC 246-290-490(7)"
OREGON_CITY: Final = "Oregon City (OR); contractors' practice"
OREGON_HEALTH: Final = "Oregon Health Authority, shutdown of seasonal systems"
PUMP_PAGES: Final = "pump suppliers' pages (names withheld)"
RELIEVED: Final = "WAC 296-45-17535, by analogy; Medford Water (OR)"
TURF: Final = "Turf magazine, irrigation winterization"
UTAH: Final = "Utah Division of Water Resources, 18 Oct 2016"
UTAH_DISTRICT: Final = "WaterPro (UT), notice to customers"
