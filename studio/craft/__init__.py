"""Bench science of the dye studio: pure functions on numbers; no files, no screens.

The standard library only, but for the forecast.

| module | what it computes |
|---|---|
| `fibre` | share of a blend that takes a dye |
| `shade` | dye and stock from depth of shade, dilution, drops |
| `weighing` | how far a weighing on a given scale can be trusted |
| `acid` | pH and acid for a pH; also `water`, `charge_balance`, `ionisation`, `activity` |
| `liquor` | bath size, water held, room left for dye liquid |
| `steam` | heat-through, hold, pot water, boiling; also `conduction`, `bessel` |
| `heat` | cooling of the packet, minutes above a temperature |
| `jar` | what really is in a jar, and lots |
| `room` | paint that will not go in, paint that will not reach |
| `energy` | energy to heat a pot up and to hold its steam |
| `pricing` | price from cost by gross margin, and the markup that is |
| `pot` | time to steam, water left and when to fill up; also `stretches` |
| `heat_dose` | when the middle can be hot through lost steam, and the hold after it |
| `cooling_fit` | when a packet is safe to open, from its readings |
| `rinse` | steps of temperature, how rinse water looks; also `rinse_meaning` |
| `leftover` | age limits of what is put away |
| `credibility` | one's own mean with shrinkage towards a default |
| `stripe` | what the painted blank becomes when it is unravelled and knitted again (numpy) |
| `colour` | what a depth of a dye looks like, and which colours can be told apart (coloraide) |

Importing this package loads none of them.
"""
