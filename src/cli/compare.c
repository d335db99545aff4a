/* compare: two patterns side by side, of one file or of two. */
#include "cli/job.h"
#include "cli/verbs.h"

#include <errno.h>

/* A pattern to compare, and where it is compiled. */
struct compared {
    struct job *job;
    size_t pattern;
};

static enum exit_status write_comparison(const struct arguments *arguments,
                                         const struct compared *a, const struct compared *b) {
    struct selvage_text text;
    enum selvage_result result =
        selvage_compare(a->job->compilation, a->pattern, b->job->compilation, b->pattern,
                        arguments->comparison, &text);
    if (result == SELVAGE_OTHER_FRAME) {
        fprintf(stderr, "selvage: %s and %s cannot be compared: %s\n",
                selvage_pattern_name(a->job->compilation, a->pattern),
                selvage_pattern_name(b->job->compilation, b->pattern), text.bytes);
        return EXIT_USAGE;
    }
    enum exit_status status = judge_result(a->job->path, result);
    return status == EXIT_DONE ? job_write_output(a->job, arguments->to, text) : status;
}

static enum exit_status start(struct job *job, const struct arguments *arguments,
                              struct memory *memory, const char *path) {
    enum exit_status status = job_start(job, arguments, memory, path);
    return status == EXIT_DONE ? job_print_findings(job, arguments) : status;
}

/* The two named, or the only two there are. */
static enum exit_status find_both(struct job *job, const struct arguments *arguments,
                                  struct compared *a, struct compared *b) {
    *a = (struct compared){job, 0};
    *b = (struct compared){job, 1};
    if (arguments->pattern == NULL && selvage_patterns(job->compilation) == 2) return EXIT_DONE;
    if (arguments->pattern == NULL) {
        fprintf(stderr,
                "selvage: %s: say which two patterns to compare with -p, twice; it holds:\n",
                job->path);
        job_list_patterns(job);
        return EXIT_USAGE;
    }
    enum exit_status status = job_find_pattern(job, arguments->pattern, &a->pattern);
    return status == EXIT_DONE ? job_find_pattern(job, arguments->second, &b->pattern) : status;
}

static enum exit_status compare_in_one(const struct arguments *arguments, struct memory *memory) {
    struct job job;
    struct compared a, b;
    enum exit_status status = start(&job, arguments, memory, arguments->files[0]);
    if (status == EXIT_DONE) status = find_both(&job, arguments, &a, &b);
    if (status == EXIT_DONE) status = write_comparison(arguments, &a, &b);
    job_end(&job);
    return status;
}

/* One pattern of each file: the only one, or the one named; one name stands for both. */
static enum exit_status compare_files(const struct arguments *arguments, struct memory *memory) {
    struct memory more;
    struct job jobs[2] = {{.memory = memory}, {.memory = &more}};
    struct compared sides[2];
    const char *names[] = {arguments->pattern,
                           arguments->second != NULL ? arguments->second : arguments->pattern};
    enum exit_status status = EXIT_DONE;
    memory_open(&more, ROOM_TO_CHECK);
    for (int i = 0; i < 2; i++) {
        struct arguments one = *arguments;
        one.pattern = names[i];
        one.second = NULL;
        sides[i] = (struct compared){&jobs[i], 0};
        enum exit_status own = start(&jobs[i], &one, jobs[i].memory, arguments->files[i]);
        if (own == EXIT_DONE) own = job_find_pattern(&jobs[i], names[i], &sides[i].pattern);
        status = worse(status, own);
    }
    jobs[0].files.beside = &jobs[1].files;
    if (status == EXIT_DONE) status = write_comparison(arguments, &sides[0], &sides[1]);
    job_end(&jobs[0]);
    job_end(&jobs[1]);
    memory_close(&more);
    return status;
}

enum exit_status run_compare(const struct arguments *arguments) {
    struct memory memory;
    memory_open(&memory, ROOM_TO_EMIT);
    enum exit_status status = arguments->file_count == 1 ? compare_in_one(arguments, &memory)
                                                         : compare_files(arguments, &memory);
    memory_close(&memory);
    return status;
}
