import sys; sys.path.insert(0,'/work/main/tests'); sys.path.insert(0,'/work/main/tests/makes')
from test_makes_trouble import *
def test_x(make_rehearsal, journal, lotion):
    r = make_rehearsal(lotion)
    run_until(r, at_pour("sunflower-oil"))
    r.bench.faults.power_cycle("bench scale", 8.0)
    print("BEGIN", r.bench.now_s); last=None
    for k in range(3000):
        m=r.step()
        said=r.answers.at(m)
        if said is not None: r.session.say(m.prompt,said)
        w=r.session.make.watch.scales.get("bench scale")
        row=(m.prompt,m.face.instruction,m.face.not_yet,w and w.still, w and w.latest_g)
        if row!=last and k%1==0 and 112<=k<200: print(k,round(r.bench.now_s,1),row, w and round(w.rest_g,2), w and round(w.still_since_s,1), w and len(w._window)); last=row
    print("END", m.prompt, m.face.instruction, m.face.want)
