/* search: the best ways to string what a pattern insists on. */
#include "cli/job.h"
#include "cli/verbs.h"

enum exit_status run_search(const struct arguments *arguments) {
    struct memory memory;
    memory_open(&memory, ROOM_TO_EMIT);
    struct job job;
    size_t pattern = 0;
    struct selvage_text text;
    enum exit_status status = job_start(&job, arguments, &memory, arguments->files[0]);
    if (status == EXIT_DONE) status = job_print_findings(&job, arguments);
    if (status == EXIT_DONE) status = job_find_pattern(&job, arguments->pattern, &pattern);
    if (status == EXIT_DONE)
        status = judge_result(job.path, selvage_search(job.compilation, pattern, arguments->ways,
                                                       arguments->comparison, &text));
    if (status == EXIT_DONE) status = job_write_output(&job, arguments->to, text);
    job_end(&job);
    memory_close(&memory);
    return status;
}
