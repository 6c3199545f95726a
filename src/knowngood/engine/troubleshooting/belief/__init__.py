"""What is believed after findings: posteriors over the causes."""
