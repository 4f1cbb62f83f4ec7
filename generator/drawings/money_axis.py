"""A level axis of money: where an amount lies on the sheet, and round figures along it."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

from generator.display import money
from generator.drawings.level_curve import round_step as round_step
from generator.drawings.sheet import Sheet, text_width

MOST_MARKS = 6
BETWEEN_FIGURES_UNITS = 18.0


@dataclass(frozen=True)
class MoneyAxis:
    """From one amount of money to another, and the drawing units at which they lie."""

    low: float
    high: float
    left: float
    right: float

    @classmethod
    def over(cls, amounts: list[float], left: float, right: float) -> MoneyAxis:
        """An axis with all of some amounts on it.  Raises ValueError for none."""
        low, high = min(amounts), max(amounts)
        # Amounts that are all alike lie in the middle.
        room = 0.0 if high - low >= 1.0 else 0.5
        return cls(low - room, high + room, left, right)

    def x(self, amount: float) -> float:
        """Where an amount lies, drawing units."""
        return self.left + (amount - self.low) / (self.high - self.low) * (self.right - self.left)

    def marks(self, currency: str) -> list[float]:
        """Round amounts along the axis, far enough apart for their figures."""
        marks: list[float] = []
        for count in range(MOST_MARKS, 0, -1):
            step = round_step((self.high - self.low) / count)
            marks = [i * step for i in range(ceil(self.low / step - 1e-9), floor(self.high / step + 1e-9) + 1)]
            widest = max((text_width(money(at, currency)) for at in marks), default=0.0)
            if self.x(step) - self.x(0.0) >= widest + BETWEEN_FIGURES_UNITS:
                break
        return marks

    def draw(self, sheet: Sheet, top: float, bottom: float, currency: str) -> None:
        """Lines from `top` to `bottom` (drawing units) at round amounts, with their figures below; nothing stands out but £0."""
        for at in self.marks(currency):
            x = self.x(at)
            sheet.line("sp-curve-nought" if at == 0.0 else "sp-curve-grid", (x, top), (x, bottom))
            sheet.write("sp-figure", x, bottom + 18.0, money(at, currency), "middle")
