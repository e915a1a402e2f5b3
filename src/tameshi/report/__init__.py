"""Reports: what a study found, for those who struck, for those who doubt, and for those who repeat it.

``make_report`` says everything once, as a :class:`Report`; ``to_html`` sets it as a page that needs
nothing else to be read; ``export_tables`` gives the figures as tables. The sheet to strike is drawn in
``report.sheet``, which these do not need.
"""

from tameshi.report.content import Report
from tameshi.report.html import to_html
from tameshi.report.make import make_report
from tameshi.report.tables import export_tables

__all__ = ["Report", "export_tables", "make_report", "to_html"]
