"""What the person does: plan, judge, record, decide, finish. Web and terminal call the same functions."""
