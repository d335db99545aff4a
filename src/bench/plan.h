/* The bench: planning the moves of a job, and replaying them. The two share nothing but the model.
 */
#ifndef SELVAGE_BENCH_PLAN_H
#define SELVAGE_BENCH_PLAN_H

#include "pattern/pattern.h"
#include "report/report.h"

/* A fixed clamp nearer than this to a cross that is being woven is in the way. */
#define CLAMP_IN_THE_WAY_MM 45.0

/* schedule.c: fills `moves` within the bench's clamps; where they run out, says where and how many
 * would do, and leaves `moves` empty. Needs acts, routes and tensions. */
void plan_moves(struct pattern *pattern, struct arena *arena, struct report *report);

/* Whether there is such a plan. Needs acts and routes. */
bool clamps_suffice(struct pattern *pattern, struct arena *arena);

/* replay.c: NULL where every move is legal and the job is done after the last; else what is wrong,
 * with the number of the move in it. `plan_moves` has no part in it. */
const char *replay_moves(const struct pattern *pattern, struct arena *arena);

#endif
