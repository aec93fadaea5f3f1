"""Sensor faults in all the kinds there are names for: seeded traces over faultless scenes.

    trace(job, "probe off in peening", seed=3)  -> what the fold hears, beside the truth

Each trace tells the truth beside what reaches the fold, when the fault starts and ends, and
what it ought to be called. Kinds after reliability.md section 5 (stuck-at, spike, drift,
bias, loss) and procedure.md section 13; every size, share and rate is invented: no public
recording of a thermocouple beside an arc could be had. One data set was found, a spreadsheet
of twelve thermocouples under an arc-welding robot, out of reach and with its spikes taken out.
"""

from __future__ import annotations

import faults_in_source
import faults_in_values
import faults_in_wiring
from planting import FAULTS, Fault, Trace, trace

KINDS = (faults_in_values, faults_in_source, faults_in_wiring)
"""Imported, they have registered what is in `FAULTS`."""

__all__ = ["FAULTS", "KINDS", "Fault", "Trace", "trace"]
