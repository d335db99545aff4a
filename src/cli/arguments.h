/* The command line: what is asked for. */
#ifndef SELVAGE_CLI_ARGUMENTS_H
#define SELVAGE_CLI_ARGUMENTS_H

#include "selvage.h"

enum verb {
    VERB_NONE,
    VERB_CHECK,
    VERB_EXPLAIN,
    VERB_STEPS,
    VERB_DRAW,
    VERB_ORDER,
    VERB_EXPORT,
    VERB_PAGE,
    VERB_COMPARE,
    VERB_SEARCH,
    VERB_BED,
    VERB_BUILD,
    VERB_CATALOGUE,
    VERB_FORMAT,
    VERB_EXPAND,
    VERB_CHART,
    VERB_SHEET
};

enum exit_status { EXIT_DONE, EXIT_FINDINGS, EXIT_USAGE, EXIT_FILES };

struct arguments {
    enum verb verb;
    enum selvage_output output; /* of the verbs with one output */
    const char *pattern, *string, *bench;
    const char *second;                 /* the other pattern, of compare */
    enum selvage_comparison comparison; /* of compare and search */
    int ways;                           /* of search: how many */
    enum selvage_bed_form bed_form;
    bool even; /* of bed */
    bool bed;  /* of steps, page, sheet and catalogue: they show what the frame feels */
    enum selvage_sides sides;
    struct selvage_setting *settings; /* --error, --warn, --ignore, in their order; to be freed */
    size_t setting_count;
    enum selvage_form form; /* of check's findings */
    bool colour_errors;     /* for findings on standard error */
    bool fix;
    int jobs;       /* at least 1 */
    const char *to; /* -o: a file, or a folder for build and catalogue; NULL: standard output */
    char **files;   /* "-": standard input; of explain: codes */
    int file_count;
    bool check, write;              /* of format */
    enum selvage_paper paper, tile; /* of chart and sheet */
    bool landscape, tiled;          /* of chart */
};

/* False where the process should end with `*status`; what there is to say has been said. */
bool arguments_read(int count, char **words, struct arguments *arguments, enum exit_status *status);
void arguments_free(struct arguments *arguments);

#endif
