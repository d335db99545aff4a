/* steps, draw, order, export, page, search, bed: one output of one pattern. */
#include "cli/job.h"
#include "cli/verbs.h"

static enum selvage_result emit(const struct arguments *arguments, selvage_compilation *compilation,
                                size_t pattern, struct selvage_text *text) {
    if (arguments->verb == VERB_SEARCH)
        return selvage_search(compilation, pattern, arguments->ways, arguments->comparison, text);
    if (arguments->verb == VERB_BED)
        return selvage_bed(compilation, pattern, arguments->even, arguments->bed_form, text);
    if (arguments->bed) {
        enum selvage_result result = selvage_feel(compilation, pattern, text);
        if (result != SELVAGE_DONE) return result;
    }
    return selvage_emit(compilation, pattern, arguments->output, NULL, text);
}

enum exit_status run_emit(const struct arguments *arguments) {
    struct memory memory;
    memory_open(&memory, ROOM_TO_EMIT);
    struct job job;
    size_t pattern = 0;
    struct selvage_text text = {0};
    enum exit_status status = job_start(&job, arguments, &memory, arguments->files[0]);
    if (status == EXIT_DONE) status = job_print_findings(&job, arguments);
    if (status == EXIT_DONE) status = job_find_pattern(&job, arguments->pattern, &pattern);
    if (status == EXIT_DONE)
        status = judge_felt(job.path, emit(arguments, job.compilation, pattern, &text), text);
    if (status == EXIT_DONE) status = job_write_output(&job, arguments->to, text);
    job_end(&job);
    memory_close(&memory);
    return status;
}
