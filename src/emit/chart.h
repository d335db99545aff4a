/* Cards on sheets: the grid that makes them largest, as many sheets as that takes, and sheets cut
 * into tiles. Knows of a card no more than whether it goes into a rectangle. */
#ifndef SELVAGE_EMIT_CHART_H
#define SELVAGE_EMIT_CHART_H

#include "emit/emit.h"

/* False where a pattern does not go on the paper. */
bool plan_chart(const struct pattern *const *patterns, size_t count, struct selvage_chart *chart,
                struct arena *arena);

/* Whether a pattern goes on one of several sheets, alone. */
bool chart_holds(const struct pattern *pattern, const struct selvage_chart *chart,
                 struct arena *arena);

void emit_chart_page(const struct pattern *const *patterns, size_t count,
                     const struct selvage_chart *chart, size_t page, struct output *out);

#endif
