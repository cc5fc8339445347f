"""The reader's own set-ups, aircraft and radios: one folder beside the notebooks, and which set-up is in use.

The folder is ``my_models`` where the notebooks run; the environment variable ``MIXING_WORKBOOK_MODELS`` puts
it elsewhere.  The project's own files are never written to.  A name in these functions is that of a file,
without ``.toml``, as `kept_names` lists them.
"""

from mixlib.describe.disk import ChangedElsewhere
from mixlib.describe.shelf.assumed import assumed_in, note_assumed
from mixlib.describe.shelf.drafts import KeptDraft, load_draft, save_draft
from mixlib.describe.shelf.keeping import (
    Chosen,
    Keeping,
    choose,
    chosen,
    keep,
    keep_change,
    kept_names,
    name_in_use,
    open_kept,
    take_back,
    version,
)
from mixlib.describe.shelf.moving import binned, copy, delete, export, put_back, rename, restore, take_in
from mixlib.describe.shelf.places import file_stem, folder, stem_for

__all__ = [
    "ChangedElsewhere",
    "Chosen",
    "Keeping",
    "KeptDraft",
    "assumed_in",
    "binned",
    "choose",
    "chosen",
    "copy",
    "delete",
    "export",
    "file_stem",
    "folder",
    "keep",
    "keep_change",
    "kept_names",
    "load_draft",
    "name_in_use",
    "note_assumed",
    "open_kept",
    "put_back",
    "rename",
    "restore",
    "save_draft",
    "stem_for",
    "take_back",
    "take_in",
    "version",
]
