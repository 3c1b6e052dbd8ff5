"""The course's own tables: lessons, glossary, cautions; read by ``heatlib.classroom``."""
