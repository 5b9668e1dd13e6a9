"""The files of a first studio: a small shelf and one plan, copied when a studio folder is made."""
