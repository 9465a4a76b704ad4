"""The records of a project: what each piece, run and setting says of itself.

Every record is frozen and typed. A field left empty (None) means "let the study choose" on new
work and "not known" on what is there already. Each file of this package says which of its names
are for others (`__all__`); here they are gathered, so that `records` is one place to look.
"""

from ampacre.model.records.bounds import *
from ampacre.model.records.equipment import *
from ampacre.model.records.record import *
from ampacre.model.records.settings import *
from ampacre.model.records.site import *
from ampacre.model.records.tables import *
from ampacre.model.records.wiring import *
