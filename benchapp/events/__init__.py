"""What can have happened: frozen facts in the past tense. Stdlib only; beneath make and record.

``at_s`` is the make's own time in seconds since it was started; it never runs backwards and survives a restart.
``source`` says where a value comes from: measured (by a device), stated (by a person) or computed.
The journal stores exactly these fields, and the wall clock beside them, so renaming one is a change of the record's schema.
"""

from benchapp.events.aftercare import *
from benchapp.events.base import *
from benchapp.events.benches import *
from benchapp.events.codec import *
from benchapp.events.heat import *
from benchapp.events.judging import *
from benchapp.events.trouble import *
from benchapp.events.walk import *
from benchapp.events.weighing import *
from benchapp.events.workshop import *
from benchapp.foundation.source import *
