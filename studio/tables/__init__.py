"""Reference tables: fibres, acids, dye classes, dyes, practice doses and holds, hazards.

The rows stand in JSON files beside this code, each with the source it was taken from or its standing
(`common practice`, `from memory`, `house rule`, `estimate`). They are read once, at the first question.
"""
