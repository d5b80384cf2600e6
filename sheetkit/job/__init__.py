"""The job: turns typed rows into the trade's questions, asks them, and collects the answers; knows no file format."""
