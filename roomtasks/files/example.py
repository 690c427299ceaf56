"""A small complete room, as a keeper might write it by hand; shown in the reference.

Sizes, intervals and shares are common practice, no published source.
"""

EXAMPLE: dict[str, str] = {
    "room.toml": """\
[room]
name = "Garden room"
zone = "Europe/Lisbon"
day_starts = "05:00"
change_day = "friday"

[minutes]
friday = 150
sunday = 20

[limits]
largest_change = 0.35
""",
    "racks.csv": """\
code,name,path
L,left wall,1
W,window,2
""",
    "shelves.csv": """\
rack,shelf,places,reach
L,1,2,steps
L,2,2,standing
W,1,2,standing
""",
    "tanks.csv": """\
code,rack,shelf,place,role,length_cm,width_cm,height_cm,water_cm,sand_cm,measured_litres,note
L1,L,1,1,grow-out,99,39,40,36,,,
L2,L,1,2,grow-out,99,39,40,36,,132,"filled by the clock, twice"
L3,L,2,1,breeding,79,39,40,35,3,,
W1,W,1,1,quarantine,59,29,35,30,,,"own net, own bucket"
""",
    "filters.csv": """\
code,tank,kind
L3-1,L3,sponge
L3-2,L3,sponge
W1-1,W1,sponge
""",
    "systems.csv": """\
code,name,sump_litres,pipes_litres
T,left wall,110,8
""",
    "valves.csv": """\
tank,at,system,state
L1,2027-01-09T10:00,T,open
L2,2027-01-09T10:00,T,open
""",
    "pumps.csv": """\
system,at,state
T,2027-01-09T10:30,running
""",
    "reservoirs.csv": """\
code,name,full_litres,dead_litres,keep_back_litres,holds_litres,fill_litres_per_min
V1,grey butt,300,15,30,240,9
""",
    "groups.csv": """\
code,line,tank,count,males,females,stage,since
multi,multifasciatus,L3,14,5,9,adult,2027-01-16
multi-young,multifasciatus,L1,40,,,young,2027-03-01
brev,brevis,W1,6,,,adult,2027-04-03
""",
    "stays.csv": """\
tank,since,days
W1,2027-04-03,42
""",
    "stocked.csv": """\
tank,since,state
L2,2027-02-20,empty
""",
    "jobs.csv": """\
code,name,kind,where,rule,window,starts,minutes,fraction,reservoir,effects,stand_in
look,Look over,look,all tanks,every 1 days,,,0.5,,,,yes
change-t,Change the left wall,change,system T,every 7 days,2/3,2027-04-09,25,0.25,V1,pump off,no
pump-t,Pump on again,pump,system T,follows change-t 10 min,,,2,,,pump on,yes
change-w,Change the quarantine,change,tank W1,every 4 days,1/1,2027-04-05,6,0.3,V1,,no
sponge-1,Squeeze the first,filter,filter L3-1,every 28 days,3/5,2027-04-12,5,,,,no
sponge-2,Squeeze the second,filter,filter L3-2,every 28 days,3/5,2027-04-26,5,,,,no
lamp,Dust the lamps,equipment,room,calendar FREQ=MONTHLY;BYDAY=1SU,,2027-04-04,15,,,,yes
""",
    "between.csv": """\
first,relation,second,days,reason
job sponge-1,apart,job sponge-2,14,one sponge stays ripe
kind filter,not-same-day,kind vac,,
""",
    "holds.csv": """\
target,kinds,cause,reason,since,until
L3,filter vac,spawning,eggs in the shells,2027-04-02,2027-04-10
""",
    "people.csv": """\
code,name,part
ana,Ana,keeper
rui,Rui,stand-in
""",
    "away.csv": """\
first,last,stand_in
2027-07-05,2027-07-18,rui
""",
    "marks.csv": """\
job,target,slot,outcome,day,at,who,fraction,until,reason
change-t,T,2027-04-02,done,2027-04-02,2027-04-02T18:40,ana,0.25,,
look,L1,2027-04-03,done,2027-04-03,2027-04-03T07:10,ana,,,
lamp,room,2027-04-04,put-off,2027-04-04,2027-04-04T09:00,ana,,2027-04-06,
""",
}
