"""Holds what is left of a studio against what was promised."""

from collections import Counter
from dataclasses import dataclass, field


@dataclass
class Verdict:
    """What is lost, what is there twice, and what is damaged, in words."""

    lost: list = field(default_factory=list)
    doubled: list = field(default_factory=list)
    damaged: list = field(default_factory=list)

    @property
    def is_hurt(self):
        return bool(self.lost or self.doubled or self.damaged)

    def words(self):
        kinds = (("lost", self.lost), ("doubled", self.doubled), ("damaged", self.damaged))
        return "; ".join(f"{kind}: {', '.join(subjects[:3])}" for kind, subjects in kinds if subjects)


def judge(every_promise, kept_promises, found):
    """Judges what was found in one studio. `every_promise` is what the whole job said, in order; `kept_promises` what it had
    said by then: these must hold. What it had done and not yet said may be there or not. While a copy was being brought
    back, the studio may be either; afterwards it must be what the copy was."""
    said = {promise.what for promise in kept_promises}
    before = judge_as(every_promise, kept_promises, every_promise, kept_promises, found)
    if "restoring" not in said:
        return before
    then = up_to_the_copy(every_promise)
    after = judge_as(then, then, every_promise, kept_promises, found)
    if "error" not in found:
        # what stood there is set aside, as it was; beside it lies the copy's, once the restore was done and not told, and sent again
        last = [promise.state for promise in every_promise if promise.what == "saved"][-1]
        if Counter(found.get("set_aside", [last])) - Counter([then[-1].state]) != Counter([last]):
            after.lost.append(f"what was set aside: {found['set_aside']}")
        if "restored" in said and found.get("was_cut_off"):
            after.lost.append("the restore that was told as done")
    return before if "restored" not in said and not before.is_hurt else after


def up_to_the_copy(every_promise):
    """What had been said when the copy that is brought back was made."""
    name = next(promise.subject for promise in every_promise if promise.what == "restoring")
    names = [promise.subject if promise.what == "copied" else None for promise in every_promise]
    return every_promise[: names.index(name) + 1]


def judge_as(era, kept_in_era, every_promise, kept_promises, found):
    """Judges the studio by the promises of an era, its copies by all."""
    verdict = Verdict()
    saved = [promise.subject for promise in kept_in_era if promise.what == "saved"]
    if "error" in found:
        verdict.damaged.append(f"does not open: {found['error']}")
        verdict.lost += saved
        return verdict
    acts = found["acts"]
    verdict.lost += [act for act in saved if act not in set(acts)]
    verdict.doubled += twice(acts)
    verdict.damaged += found["faults"]
    verdict.damaged += [f"photo {photo} has no picture" for photo in found["missing_photos"]]
    verdict.damaged += [f"photo {photo} has another picture" for photo in found["wrong_photos"]]
    judge_order(verdict, era, acts, found["state"])
    if "copies" in found:
        judge_copies(verdict, every_promise, kept_promises, found["copies"])
    if found.get("sent_again"):
        judge_sent_again(verdict, acts, found["sent_again"])
    return verdict


def judge_order(verdict, every_promise, acts, state):
    """The acts that are there are the first of the job, with none left out, and the studio is as it was after them."""
    done = [promise.subject for promise in every_promise if promise.what == "saved"]
    if acts != done[: len(acts)]:
        verdict.damaged.append(f"the {len(acts)} acts there are not the first of the job")
        return
    # before any act the state of a new studio, and then the state after each; a job that knows none says "-"
    states = [promise.state for promise in every_promise if promise.what in ("opened", "saved")]
    if len(states) != len(done) + 1:
        raise ValueError("a job says once that it has opened the studio")
    if states[len(acts)] not in (state, "-"):
        verdict.damaged.append(f"after {len(acts)} acts the studio is not as it was")


def judge_copies(verdict, every_promise, kept_promises, copies):
    """A copy that was promised is there; whichever carries its name is whole."""
    there = {copy["name"]: copy for copy in copies}
    verdict.lost += [
        f"copy {promise.subject}"
        for promise in kept_promises
        if promise.what == "copied" and promise.subject not in there
    ]
    states = {promise.subject: promise.state for promise in every_promise if promise.what == "copied"}
    # one that was made again after an error has a name of its own
    of_any_moment = {promise.state for promise in every_promise}
    for name, copy in there.items():
        if "error" in copy:
            verdict.damaged.append(f"copy {name}: {copy['error']}")
        elif copy["state"] not in ({states[name]} if name in states else of_any_moment):
            verdict.damaged.append(f"copy {name} is not what the studio was")


def judge_sent_again(verdict, acts, again):
    """The last act, sent once more, counts once; the next one is saved after it."""
    if not again["is_unchanged"]:
        verdict.doubled.append(acts[-1])
    verdict.doubled += twice(again["acts"])
    if again["acts"][:-1] != acts:
        verdict.damaged.append("it does not go on from where it was")


def twice(subjects):
    return [subject for subject, count in Counter(subjects).items() if count > 1]
