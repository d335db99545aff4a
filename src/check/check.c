/* Runs the checks of a stage in the order of the registry. */
#include "check/check.h"

struct check {
    enum check_stage stage;
    int weight;
    enum rule needs;
    void (*run)(const struct subject *subject);
};

enum { IS_FAULT, IS_ERROR, IS_WARNING, IS_ADVICE };

static const struct check checks[] = {
#define RULE(number, name, severity, stage, needs, title) ROW_##stage(name, severity, needs)
#define ROW_RAISED(name, severity, needs)
#define ROW_LEGS(name, severity, needs) {CHECK_LEGS, IS_##severity, RULE_##needs, check_##name},
#define ROW_ROUTES(name, severity, needs) {CHECK_ROUTES, IS_##severity, RULE_##needs, check_##name},
#define ROW_PLAN(name, severity, needs) {CHECK_PLAN, IS_##severity, RULE_##needs, check_##name},
#include "report/rules.def"
#undef RULE
};

/* What stands in the way is told first; advice only where nothing does, and what is unwise of the
 * routes too: it most often follows from what stands in the way. */
void run_checks(const struct subject *subject, enum check_stage stage) {
    for (int late = 0; late < 2; late++)
        for (size_t i = 0; i < sizeof checks / sizeof *checks; i++) {
            const struct check *check = &checks[i];
            bool waits =
                check->weight == IS_ADVICE || (check->weight == IS_WARNING && stage != CHECK_LEGS);
            if (check->stage != stage || waits != (late == 1)) continue;
            if (late == 1 && subject->report->own_errors > subject->errors_before) return;
            if (report_fired(subject->report, check->needs, subject->since)) continue;
            check->run(subject);
        }
}
