"""Alarms told while lines are waited for: at once when raised, then again in their rhythm."""

from __future__ import annotations

from studio.lines.conversation import Conversation
from studio.lines.words import alarm_line
from studio.session import alarms
from studio.session import commands as c
from studio.session.clock import Moment, Reading, moment_of
from studio.session.records import AlarmRecord

FRESH_ALARM_S = 0.7
"""An Enter this soon after an alarm was raised was already on its way and answers nothing. House rule."""

_Key = tuple[str, str, int]


class AlarmRounds:
    """Keeps which alarms were told, and when the sounding one was rung last."""

    def __init__(self, talk: Conversation) -> None:
        self.talk = talk
        # Numbers of events may move when a full disk makes the file go on elsewhere; these do not.
        self._rung: dict[_Key, Moment] = {}
        self._told = {_key(a) for a in talk.session.state.alarms if not a.standing}

    def go(self) -> None:
        """Tell what has newly been raised, and ring again for the alarm that sounds now if it is time."""
        state, now = self.talk.session.state, self.talk.now
        for alarm in state.alarms:
            if _key(alarm) not in self._told:
                self._told.add(_key(alarm))
                if alarm.standing or alarm.ahead:
                    self._tell(alarm, now)
        sounding = alarms.sounding(state, now)
        if sounding is None:
            return
        last = self._rung.get(_key(sounding))
        if last is None or self.talk.real_s(last, now) >= alarms.repeat_every_s(sounding, now):
            self._tell(sounding, now)

    def _tell(self, alarm: AlarmRecord, now: Reading) -> None:
        self._rung[_key(alarm)] = moment_of(now)
        long = not alarm.ahead and alarms.escalated(alarm, now)
        line = alarm_line(alarm, self.talk.session.state, now)
        self.talk.sound(alarm.priority, alarm.text, long, line)

    def standing(self) -> AlarmRecord | None:
        """The most urgent alarm that waits for an answer."""
        return next(iter(alarms.standing(self.talk.session.state)), None)

    def enter_answers(self, alarm: AlarmRecord) -> None:
        """Enter alone while an alarm stands: heard, unless the key was on its way before the alarm."""
        if self.talk.real_s(alarm.raised, self.talk.now) < FRESH_ALARM_S:
            self.talk.tell(
                "The alarm came just before this Enter, so it answered nothing. Enter again: heard."
            )
        else:
            self.talk.do(c.Acknowledge(alarm.n))


def _key(alarm: AlarmRecord) -> _Key:
    return alarm.timer, alarm.level, alarm.raised.wall_ns
