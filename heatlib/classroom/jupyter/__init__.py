"""A small extension of the Jupyter server: saved notebooks keep pictures and words, not the state of live views.

A live view is of no use without its kernel: a notebook reopened later would say "Error displaying widget: model not
found" in place of the stored picture. So the view is left out when a notebook is saved; the page itself keeps it.
"""

__all__ = ["strip_live_views"]

LIVE = ("application/vnd.jupyter.widget-view+json", "application/vnd.jupyter.widget-state+json")


def strip_live_views(model, **_more):
    """Take the live part out of a lesson that is about to be saved; pictures and words stay.

    Notebooks that don't use this project are left alone.

    Parameters
    ----------
    model : dict
        What is being saved, as the contents manager hands it over; changed in place [–].
    """
    book = model.get("content")
    if model.get("type") != "notebook" or not isinstance(book, dict) or not _ours(book):
        return
    book.get("metadata", {}).pop("widgets", None)
    for cell in book.get("cells", []):
        if "outputs" in cell:
            cell["outputs"] = [output for output in cell["outputs"] if _strip(output)]


def _ours(book):
    return any("heatlib" in "".join(cell.get("source", "")) for cell in book.get("cells", []))


def _strip(output):
    """Strip one output; return whether anything is left to show."""
    data = output.get("data")
    if not data:
        return True
    for kind in LIVE:
        data.pop(kind, None)
        output.get("metadata", {}).pop(kind, None)
    return bool(data)


def _jupyter_server_extension_points():
    return [{"module": "heatlib.classroom.jupyter"}]


def _load_jupyter_server_extension(server):
    """Register the hook once the server runs: another extension may put a contents manager of its own in place."""
    from tornado.ioloop import IOLoop

    IOLoop.current().add_callback(lambda: server.contents_manager.register_pre_save_hook(strip_live_views))
