/* The command: arguments to verb to exit status. */
#include "cli/verbs.h"

static enum exit_status run(const struct arguments *arguments) {
    switch (arguments->verb) {
    case VERB_CHECK: return run_check(arguments);
    case VERB_EXPLAIN: return run_explain(arguments);
    case VERB_COMPARE: return run_compare(arguments);
    case VERB_BUILD: return run_build(arguments);
    case VERB_CATALOGUE: return run_catalogue(arguments);
    case VERB_FORMAT: return run_format(arguments);
    case VERB_EXPAND: return run_expand(arguments);
    case VERB_CHART:
    case VERB_SHEET: return run_chart(arguments);
    default: return run_emit(arguments);
    }
}

int main(int count, char **words) {
    struct arguments arguments;
    enum exit_status status;
    if (arguments_read(count, words, &arguments, &status)) status = run(&arguments);
    arguments_free(&arguments);
    return (int)status;
}
