"""The four answers in words, the same for the screens and for ``doneby status``."""

from __future__ import annotations

from app.presenters.views import AnswersView, AnswerView, Mark

__all__ = ["AnswerView", "AnswersView", "Mark"]
