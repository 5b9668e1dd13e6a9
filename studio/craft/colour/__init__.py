"""What colours will look like, as an approximation that says so: each module says one thing.

| module | what it computes |
|---|---|
| `preview` | dyes at their depths, and mixtures, over the yarn's own white; a dye from the dyer's own swatch |
| `dye_curve` | light a dye takes, from its published maximum; K/S and reflectance |
| `observer` | reflectance to colour in daylight; XYZ, Lab, sRGB, hexadecimal |
| `apart` | pairs people may not tell apart, colour-blind ones too |

Importing this package loads none of them; the colour library is loaded when the first colour is worked out.
"""
