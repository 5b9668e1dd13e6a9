from studio.session import commands as c
from studio.session.live import paint_room
import random
from studio.session.hand import next_move
from studio.session.path import current_step
def test_x(begin):
    s = begin(); ch = random.Random(1)
    seen=[]
    while True:
        st=current_step(s.state, s.clock.now())
        seen.append(st.id)
        if st.id=="paint.squeezed": break
        m=next_move(s.state,s.clock.now(),ch); s.clock.advance(m.wait_s); s.tick()
        if m.command: s.do(m.command)
    s.do(c.Measure("paint.squeezed","49",True))
    print(s.state.step("paint.squeezed"))
    print(paint_room._room(s.state))
