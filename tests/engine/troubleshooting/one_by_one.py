"""Every order tried one by one, by plain recursion. It shares no code with the program but the problem's own fields."""

from itertools import combinations


class OneByOne:
    """The least expected cost of a small problem, with beliefs that add up to 1 at each step."""

    def __init__(self, problem):
        self.problem = problem
        self.inside = {cover.key: cover.inside for cover in problem.covers}
        self.lids = {
            cover.key: 0.0 if cover.key in problem.free else self.money(cover.opening) + self.money(cover.closing)
            for cover in problem.covers
        }

    def least(self):
        belief = {cause.key: cause.chance.value for cause in self.problem.causes}
        off = frozenset().union(*(self.around(key) for key in self.problem.open_already))
        return self.best(belief, self.problem.tests, self.problem.repairs, off)

    def money(self, price):
        return price.money + price.minutes / 60.0 * self.problem.rate_per_hour

    def own(self, thing):
        return 0.0 if thing.key in self.problem.free else self.money(thing.price)

    def around(self, key):
        return frozenset() if key is None else self.around(self.inside[key]) | {key}

    def shop(self, cause):
        quote = self.problem.quote
        included = quote.covers is None or cause in quote.covers
        return self.money(quote.price) + (0.0 if included else self.money(quote.beyond))

    def way_in(self, things, off):
        needed = frozenset().union(*(self.around(thing.cover) for thing in things)) - off
        return sum(self.lids[key] for key in needed), off | needed

    def best(self, belief, tests, repairs, off):
        costs = [sum(chance * self.shop(cause) for cause, chance in belief.items())]
        costs += [self.testing(belief, test, tests, repairs, off) for test in tests]
        groups = (group for count in range(1, len(repairs) + 1) for group in combinations(repairs, count))
        costs += [self.repairing(belief, group, tests, repairs, off) for group in groups]
        return min(costs)

    def testing(self, belief, test, tests, repairs, off):
        way, off = self.way_in([test], off)
        cost, left = self.own(test) + way, [one for one in tests if one is not test]
        for place in range(len(test.outcomes)):
            joint = {cause: chance * test.row(cause)[place].value for cause, chance in belief.items()}
            cost += self.going_on(joint, left, repairs, off)
        return cost

    def repairing(self, belief, group, tests, repairs, off):
        way, off = self.way_in(group, off)
        joint = dict(belief)
        for repair in group:
            for cause, sureness in repair.fixes.items():
                joint[cause] *= 1.0 - sureness.value
        off = frozenset() if any(one.needs_closed_check for one in group) else off
        cost = sum(self.own(one) for one in group) + way + self.money(self.problem.check)
        return cost + self.going_on(joint, tests, [one for one in repairs if one not in group], off)

    def going_on(self, joint, tests, repairs, off):
        total = sum(joint.values())
        if total == 0.0:
            return 0.0
        return total * self.best({cause: part / total for cause, part in joint.items()}, tests, repairs, off)
