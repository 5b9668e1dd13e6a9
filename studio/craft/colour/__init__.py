"""What colours will look like, as an approximation that says so: each module says one thing.

| module | what it computes |
|---|---|
| `preview` | dyes at their depths, and mixtures, over the yarn's own white |
| `dye_curve` | light a dye takes, from its published maximum; also `band_widths` |
| `swatch` | the same from the dyer's own swatch; also `three_bands` |
| `undyed` | the white of the yarn |
| `kubelka_munk` | K/S and reflectance |
| `spectrum` | reflectance to colour in daylight; also `observer` |
| `screen_colour` | XYZ, Lab, sRGB, hexadecimal |
| `apart` | pairs people may not tell apart; also `difference`, `colour_blind` |

Importing this package loads none of them; the colour library is loaded when the first colour is worked out.
"""
