"""Dice give one row of numbers, however they are asked for."""

from genbg.paint.craft.dice import MOST, Dice


def test_taking_many_is_taking_one_by_one():
    one, many = Dice(7, "row"), Dice(7, "row")
    sizes = (1, 5, 63, 130, 2 * MOST + 3, 2)
    assert [one.unit() for _ in range(sum(sizes))] == [n for size in sizes for n in many.take(size)]


def test_numbers_taken_do_not_come_again():
    dice = Dice(3, "row")
    first = dice.take(200)
    assert len(set(first) | {dice.unit() for _ in range(200)}) == 400
