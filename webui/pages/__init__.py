"""The pages: server-rendered, each working without JavaScript."""

from __future__ import annotations

from flask import Flask

from webui.pages import (
    changes_list,
    devices,
    drawing_files,
    given_back,
    left_out,
    photographs,
    piece,
    plan,
    put_right,
    settings,
    strip,
    table,
    views,
)
from webui.pages.failed import failed
from webui.pages.make import (
    as_read,
    choices,
    costs,
    dials,
    done,
    fabric,
    finish,
    fits,
    knitted,
    machine,
    newer,
    planned,
    points,
    posted,
    rest_page,
    seams,
    share,
    sheet,
    sizes,
    taken,
    yarn,
)
from webui.pages.make import page as make
from webui.pages.make import settings as make_settings
from webui.pages.shelves import (
    fabrics,
    garment_forms,
    garments,
    garments_over,
    several_swatches,
    size_tables,
    swatch_book,
    swatches,
    tools,
    wardrobe,
    wearers,
    when,
)
from webui.pages.walk import begin as walk_begin
from webui.pages.walk import carried, pencil, walk

__all__ = ["failed", "register"]

PAGES = (
    as_read,
    carried,
    changes_list,
    choices,
    costs,
    devices,
    dials,
    done,
    drawing_files,
    fabric,
    fabrics,
    finish,
    fits,
    garment_forms,
    garments,
    garments_over,
    knitted,
    left_out,
    machine,
    make,
    make_settings,
    newer,
    pencil,
    photographs,
    piece,
    plan,
    planned,
    points,
    posted,
    put_right,
    rest_page,
    seams,
    settings,
    several_swatches,
    share,
    sheet,
    size_tables,
    sizes,
    strip,
    swatch_book,
    swatches,
    table,
    taken,
    tools,
    walk,
    walk_begin,
    wardrobe,
    wearers,
    when,
    yarn,
)
"""Every page: modules with a Blueprint named `pages`."""


def register(app: Flask) -> None:
    """Put every page on the application."""
    views.prepare(app)
    given_back.register(app)
    left_out.register(app)
    for page in PAGES:
        app.register_blueprint(page.pages)
