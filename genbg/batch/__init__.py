"""Many variants side by side: presets x seeds x lists of values.

    plan -> work (in processes or on a cluster) -> journal -> variants.jsonl, contact sheets

`plan.py` says what is asked, `work.py` makes one variant, `local.py` and `cluster.py` spread the
work, `journal.py` keeps what is done so that it is not made again, `judge.py` scores pictures,
`contact.py` and `page.py` show them, and `run.py` puts it together.
"""

from genbg.batch.run import BatchReport, run_batch

__all__ = ["BatchReport", "run_batch"]
