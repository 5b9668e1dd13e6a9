"""The forecast: what a painted blank becomes when it is unravelled and knitted again.

| module | what it computes | numpy |
|---|---|---|
| `gauge` | loop length, courses and wales, yarn per round | |
| `blank` | the blank, its bands in order, the painted share; the new piece and the rounds its yarn gives | |
| `painting` | how far a painting strays: spread, tilt, wander, spots, coats; which ends of strands make a pair | |
| `skein` | a skein painted in sections: runs, repeat, stacking or spiralling; yarn in a pair of socks | |
| `edges` | the edges of many paintings along the yarn, drawn from a seed, and their stray drips | yes |
| `rounds` | the share of every band in every round of many paintings | yes |
| `forecast` | the public entry: rounds per band with their odds | yes |
| `inverse` | least band width for so many solid rounds; spread and wander from what a swatch really gave | yes |
| `picture` | one painting, to look at: blank, yarn and fabric | yes |

Importing this package loads none of them, and no numpy.
"""
