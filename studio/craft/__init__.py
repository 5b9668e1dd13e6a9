"""Bench science of the dye studio: pure functions on floats, standard library only, no files and no screens.

| module | what it computes |
|---|---|
| `fibre` | share of a blend that takes a dye, moisture regain |
| `shade` | dye and stock from depth of shade; also `mixing`, `drops`, `depth` |
| `weighing` | how far a weighing on a given scale can be trusted |
| `acid` | pH and acid for a pH; also `water`, `acid_amounts`, `charge_balance`, `ionisation`, `activity` |
| `liquor` | bath size, water held, room left for dye liquid |
| `steam` | heat-through, hold, pot water; also `packet`, `boiling`, `conduction`, `eigenvalues`, `bessel` |
| `heat` | cooling of the packet, minutes above a temperature; also `newton` |

Importing this package loads none of them.
"""
