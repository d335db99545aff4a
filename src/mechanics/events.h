/* The moves of a planned pattern as what they do to the frame. */
#ifndef SELVAGE_MECHANICS_EVENTS_H
#define SELVAGE_MECHANICS_EVENTS_H

#include "mechanics/job.h"
#include "pattern/pattern.h"

/* Every pull and every pull again at the tension of its move; and where a clamp takes over from the
 * tensioner, that it gives back `draw_back` mm, unless that is 0. Needs moves. */
struct job job_of(const struct pattern *pattern, double draw_back, struct arena *arena);

#endif
