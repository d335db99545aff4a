/* The stages that fill a pattern, in the order compile.c runs them. Each reports what stops it and
 * leaves its flag unset then; the checks judge the rest. */
#ifndef SELVAGE_PATTERN_STAGES_H
#define SELVAGE_PATTERN_STAGES_H

#include "pattern/pattern.h"
#include "report/report.h"

/* acts.c: legs written out as single acts, in the order they are done. Sets `laid`. */
void lay_acts(struct pattern *pattern, struct arena *arena, struct report *report);

/* routes.c: entry and exit hole of every strand, holes of starts and knots. Needs acts; sets
 * `routed`. */
void find_routes(struct pattern *pattern, struct arena *arena, struct report *report);

/* loops.c: the pieces outside the hoop, their length, what they pass, which lies over which. */
void find_loops(struct pattern *pattern, struct arena *arena);

/* lanes.c: front or back for every loop, so that none cross; or the loops that cannot lie clear. */
void assign_lanes(struct pattern *pattern, struct arena *arena, struct report *report);

/* tension.c: base and pull of every strand. */
void set_tensions(struct pattern *pattern, struct arena *arena);

/* play.c: what the rules of play of the sport say of it. Needs a placed frame. */
void judge_play(struct pattern *pattern, struct arena *arena);

/* weave.c: over or under at every crossing, and what every woven strand does first. Needs moves. */
void find_weave(struct pattern *pattern, struct arena *arena, struct report *report);

/* cut.c: how much string each end takes. */
void measure_cuts(struct pattern *pattern, struct arena *arena);
double assumed_gauge(const struct frame *frame); /* mm; what most strings of the sport measure */

/* work.c: what is done how often, and how long it takes. Needs the weave. */
void count_work(struct pattern *pattern);

/* assumed.c: what the source does not say. */
void list_assumptions(struct pattern *pattern, struct arena *arena);

#endif
