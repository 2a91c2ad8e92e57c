"""The rules, one module a subject. A rule takes the link view and the book view and gives check rows (see the README beside core)."""
