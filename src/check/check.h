/* Checks: each a small function over the finished model and one row in report/rules.def. */
#ifndef SELVAGE_CHECK_CHECK_H
#define SELVAGE_CHECK_CHECK_H

#include "pattern/pattern.h"
#include "report/report.h"

struct subject {
    const struct frame *frame;
    const struct pattern *pattern;
    struct arena *arena;
    struct report *report;
    size_t since;         /* findings in the report when this pattern's turn came */
    size_t errors_before; /* of them those that are errors of themselves */
};

enum check_stage { CHECK_LEGS, CHECK_ROUTES, CHECK_PLAN };

/* Runs every check of a stage whose needs have not fired. */
void run_checks(const struct subject *subject, enum check_stage stage);

#define RULE(number, name, severity, stage, needs, title) RULE_##stage(name)
#define RULE_RAISED(name)
#define RULE_LEGS(name) void check_##name(const struct subject *subject);
#define RULE_ROUTES(name) RULE_LEGS(name)
#define RULE_PLAN(name) RULE_LEGS(name)
#include "report/rules.def"
#undef RULE
#undef RULE_RAISED
#undef RULE_LEGS
#undef RULE_ROUTES
#undef RULE_PLAN

#endif
