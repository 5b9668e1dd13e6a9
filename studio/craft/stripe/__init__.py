"""The forecast: what a painted blank becomes when it is unravelled and knitted again.

| module | what it computes | numpy |
|---|---|---|
| `blank` | the blank and its bands, loop length and yarn; the new piece; how a painting strays; pairs of strands | |
| `skein` | a skein painted in sections: runs, repeat, stacking or spiralling; yarn in a pair of socks | |
| `edges` | the edges of many paintings along the yarn, drawn from a seed | yes |
| `forecast` | the public entry: the share of every band in every round, and rounds per band with their odds | yes |
| `inverse` | least band width for so many solid rounds; spread and wander from what a swatch really gave | yes |
| `picture` | one painting, to look at: blank, yarn and fabric | yes |

Importing this package loads none of them, and no numpy.
"""
