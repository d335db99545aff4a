/* Runs the checks of a stage in the order of the registry. */
#include "check/check.h"

struct check {
    enum check_stage stage;
    enum rule rule, needs;
    void (*run)(const struct subject *subject);
};

static const struct check checks[] = {
#define RULE(number, name, severity, stage, needs, title) ROW_##stage(name, needs)
#define ROW_RAISED(name, needs)
#define ROW_LEGS(name, needs) {CHECK_LEGS, RULE_##name, RULE_##needs, check_##name},
#define ROW_ROUTES(name, needs) {CHECK_ROUTES, RULE_##name, RULE_##needs, check_##name},
#define ROW_PLAN(name, needs) {CHECK_PLAN, RULE_##name, RULE_##needs, check_##name},
#include "report/rules.def"
#undef RULE
};

static bool is_advice(const struct check *check) {
    return rule_severity(check->rule) == SEVERITY_ADVICE;
}

/* What stands in the way is told first; advice only where nothing does. */
void run_checks(const struct subject *subject, enum check_stage stage) {
    for (int advice = 0; advice < 2; advice++)
        for (size_t i = 0; i < sizeof checks / sizeof *checks; i++) {
            const struct check *check = &checks[i];
            if (check->stage != stage || is_advice(check) != (advice == 1)) continue;
            if (advice == 1 && subject->report->blocking > subject->blocking_before) return;
            if (report_fired(subject->report, check->needs, subject->since)) continue;
            check->run(subject);
        }
}
