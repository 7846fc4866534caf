"""The invented cooks of ``sample_sessions/``: their stories, how they are made, and their tests."""
