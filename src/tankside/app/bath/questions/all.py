"""All questions, by name."""

from tankside.app.bath.questions.field import Question
from tankside.app.bath.questions.keeping import (
    DOSE,
    FORECAST,
    LABEL,
    RETIRE,
    RINSE,
    SAFE,
)
from tankside.app.bath.questions.measuring import PLANS, WAYS
from tankside.app.bath.questions.noting import NOTES

QUESTIONS: dict[str, Question] = {
    one.name: one for one in (*PLANS, *WAYS, FORECAST, DOSE, RINSE, RETIRE, LABEL, SAFE, *NOTES)
}
