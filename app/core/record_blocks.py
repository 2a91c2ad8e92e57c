"""The blocks that a record is made of (shapes in the README beside this file)."""

from . import draw


def section(name: str, title: str, blocks: list) -> dict:
    """A section; blocks that are None are left out."""
    return {"id": name, "title": title, "blocks": [block for block in blocks if block]}


def rows(pairs: list) -> dict | None:
    """[label, text] rows, or None when there are none."""
    return {"form": "rows", "rows": pairs} if pairs else None


def table(head: list, align: str, body: list) -> dict | None:
    """A table with its head; `align` has a letter l or r a column. None when it has no row."""
    return {"form": "table", "head": head, "align": list(align), "rows": body} if body else None


def filled_table(head: list, align: str, body: list, keep: tuple = (0, 1)) -> dict | None:
    """A table without the columns that are empty in every row; the columns in `keep` stay."""
    used = [column for column in range(len(head)) if column in keep or any([row[column] for row in body])]
    return table(
        [head[column] for column in used],
        "".join([align[column] for column in used]),
        [[row[column] for column in used] for row in body],
    )


def text(lines: list) -> dict | None:
    """Plain lines, or None when there are none."""
    return {"form": "text", "lines": lines} if lines else None


def drawing(svg: str, alternative: str) -> dict:
    """A picture with the words for those who can't see it."""
    return {"form": "svg", "text": svg, "alt": draw.clean(alternative)}


def code(lines: list) -> dict:
    """Lines to be typed exactly as they stand, such as commands."""
    return {"form": "code", "lines": lines}
