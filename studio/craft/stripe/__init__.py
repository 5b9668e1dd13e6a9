"""The forecast: what a painted blank becomes when it is unravelled and knitted again.

| module | what it computes | numpy |
|---|---|---|
| `gauge` | loop length, courses and wales, yarn per round | |
| `sock_yarn` | yarn in a pair of socks, and what each figure is worth | |
| `blank` | the blank, its bands in order, the painted share | |
| `painting` | how far a painting strays: spread, tilt, wander, spots, penetration, coats | |
| `knitting` | the new piece, the rounds the yarn gives, the closed formula | |
| `skein` | a skein painted in sections: runs, repeat, stacking or spiralling | |
| `strands` | which ends of several strands make a pair, how far two differ | |
| `unravel` | the order of the stitches along the yarn | yes |
| `edges` | the edges of many paintings, drawn from a seed | yes |
| `spots` | stray drips of many paintings | yes |
| `rounds` | the share of every band in every round of many paintings | yes |
| `forecast` | the public entry: rounds per band with their odds | yes |
| `inverse` | least band width for so many solid rounds | yes |
| `fitting` | spread and wander from what a swatch really gave | yes |
| `picture` | one painting, to look at: blank, yarn and fabric | yes |

Importing this package loads none of them, and no numpy.
"""
