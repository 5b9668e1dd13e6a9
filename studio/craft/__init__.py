"""Bench science of the dye studio: pure functions on numbers; no files, no screens.

The standard library only, but for the forecast and the colours.

| module | what it computes |
|---|---|
| `limits`, `solve` | ranges that several formulas check; roots, fixed points and lines through readings |
| `liquor` | share of a blend that takes a dye, bath size, water held, room left for paint, whether it reaches |
| `shade` | dye and stock from depth of shade, dilution, drops; jars, their lots and ages; trust in a weighing |
| `acid` | pH of a bath from its water and acids, and acid for a pH; `charge` has the balance, `ions` its parts |
| `steam` | heat-through, hold, pot water, boiling; `conduction` has the series |
| `pot` | time to steam, water left and when to fill up; energy to heat up and to hold, bursts; price by margin |
| `bath_heat` | a bath heated on a hob: its loss, its ramp, what evaporates |
| `heat` | cooling of the packet, minutes above a temperature, heat-through with steam lost on the way |
| `cooling` | when a packet is safe to open, from its readings |
| `rinse` | steps of temperature, how rinse water looks and what that means |
| `fastness` | home tests and the grey scales they are graded by |
| `credibility` | one's own mean with shrinkage towards a default |
| `day_order` | an order of work for two hands, a pot of so many places and what must lie between |
| `stripe` | what the painted blank becomes when it is unravelled and knitted again (numpy) |
| `colour` | what a depth of a dye looks like, and which colours can be told apart (coloraide) |

Importing this package loads none of them.
"""
