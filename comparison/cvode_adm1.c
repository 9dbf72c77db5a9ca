/* Plain ADM1, fed once a day, by CVODE: BDF, Newton, dense matrix, Jacobian by
 * difference quotients. The yardstick of docs/performance.md.
 *
 * Written from the same published equations as validation/oracles/adm1.py
 * (Batstone et al. 2002; Rosen and Jeppsson 2006) and shares no code with the
 * Rust engine. Constants and conditions are read from reference/.
 *
 *   cvode_adm1 --first W --last W --days D --rtol R [--check] [--oracle]
 *
 * --check   holds each world's daily gas against a tight run of its own
 * --oracle  holds the unscattered world against validation/oracles/adm1_daily_fed.csv
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

enum {
    su, aa, fa, va, bu, pro, ac, h2, ch4, ic, in, si,
    xc, ch, pr, li, xsu, xaa, xfa, xc4, xpro, xac, xh2, xi, cat, an,
    gh2, gch4, gco2,
    STATES,           /* 29 */
    LIQUID = gh2,     /* the first states move with the liquid */
    OUT = STATES,     /* dry gas that has left, m3 at P_atm */
    SIZE
};
static const char *NAME[STATES] = {
    "S_su", "S_aa", "S_fa", "S_va", "S_bu", "S_pro", "S_ac", "S_h2", "S_ch4", "S_IC", "S_IN", "S_I",
    "X_xc", "X_ch", "X_pr", "X_li", "X_su", "X_aa", "X_fa", "X_c4", "X_pro", "X_ac", "X_h2", "X_I", "S_cat", "S_an",
    "S_gas_h2", "S_gas_ch4", "S_gas_co2"};

enum { PROCESSES = 19 };
static const double VOLUME = 3400, HEADSPACE = 300, TEMPERATURE = 308.15, REPLACED = 0.05;

static void fail(const char *what) { fprintf(stderr, "%s\n", what); exit(1); }

/* --- reference tables --- */

static FILE *open_or_fail(const char *path) {
    FILE *file = fopen(path, "r");
    if (!file) fail(path);
    return file;
}

/* Column `column` of the row that begins with `symbol`; NaN when empty. */
static double table(const char *path, const char *symbol, int column) {
    FILE *file = open_or_fail(path);
    char line[4096];
    double value = NAN;
    int found = 0;
    while (fgets(line, sizeof line, file)) {
        size_t n = strcspn(line, ",");
        if (n != strlen(symbol) || strncmp(line, symbol, n)) continue;
        char *at = line;
        for (int i = 0; i < column && at; i++) { at = strchr(at, ','); if (at) at++; }
        if (at && *at != ',') value = strtod(at, NULL);
        found = 1;
        break;
    }
    fclose(file);
    if (!found) fail(symbol);
    return value;
}
static int value_column;
static double constant(const char *symbol) { return table("reference/adm1_constants.csv", symbol, value_column); }

/* --- the model --- */

typedef struct {
    double k_dis, k_ch, k_pr, k_li;
    double k_su, k_aa, k_fa, k_c4, k_pro, k_ac, k_h2, k_dec;
    double ks_in, ks_su, ks_aa, ks_fa, ks_c4, ks_pro, ks_ac, ks_h2;
    double ki_fa, ki_c4, ki_pro, ki_nh3;
    double n_aa, kn_aa, n_ac, kn_ac, n_h2, kn_h2;
    double kw, va, bu, pro, ac, co2, nh4;
    double h_h2, h_ch4, h_co2, p_h2o, p_atm, k_p, k_l_a, rt;
    /* Stoichiometry by rows, zeros left out. */
    int start[PROCESSES + 1], state[PROCESSES * STATES];
    double nu[PROCESSES * STATES];
    double ion; /* last proton concentration */
} Model;

static double hoff(double at_base, double enthalpy) {
    return at_base * exp(enthalpy / (constant("R") * 100) * (1 / constant("T_base") - 1 / TEMPERATURE));
}
static void hill(const char *group, double *n, double *k_to_n) {
    char name[32];
    snprintf(name, sizeof name, "pH_UL_%s", group);
    double upper = constant(name);
    snprintf(name, sizeof name, "pH_LL_%s", group);
    double lower = constant(name);
    *n = 3 / (upper - lower);
    *k_to_n = pow(10, -(upper + lower) / 2 * *n);
}

/* Rows of the Petersen matrix; inorganic carbon and nitrogen close each. */
static void stoichiometry(Model *m) {
    double t[PROCESSES][STATES] = {{0}};
    double carbon[STATES] = {0}, nitrogen[STATES] = {0};
    const char *c_of[] = {"C_su", "C_aa", "C_fa", "C_va", "C_bu", "C_pro", "C_ac"};
    for (int i = 0; i < 7; i++) carbon[su + i] = constant(c_of[i]);
    carbon[ch4] = constant("C_ch4"); carbon[si] = constant("C_sI"); carbon[xc] = constant("C_xc");
    carbon[ch] = constant("C_ch"); carbon[pr] = constant("C_pr"); carbon[li] = constant("C_li"); carbon[xi] = constant("C_xI");
    nitrogen[aa] = nitrogen[pr] = constant("N_aa");
    nitrogen[xc] = constant("N_xc");
    nitrogen[si] = nitrogen[xi] = constant("N_I");
    for (int i = xsu; i <= xh2; i++) { carbon[i] = constant("C_bac"); nitrogen[i] = constant("N_bac"); }

    t[0][xc] = -1; t[0][si] = constant("f_sI_xc"); t[0][xi] = constant("f_xI_xc");
    t[0][ch] = constant("f_ch_xc"); t[0][pr] = constant("f_pr_xc"); t[0][li] = constant("f_li_xc");
    t[1][ch] = -1; t[1][su] = 1;
    t[2][pr] = -1; t[2][aa] = 1;
    double f = constant("f_fa_li");
    t[3][li] = -1; t[3][su] = 1 - f; t[3][fa] = f;

    double y = constant("Y_su");
    t[4][su] = -1; t[4][xsu] = y;
    t[4][bu] = (1 - y) * constant("f_bu_su"); t[4][pro] = (1 - y) * constant("f_pro_su");
    t[4][ac] = (1 - y) * constant("f_ac_su"); t[4][h2] = (1 - y) * constant("f_h2_su");
    y = constant("Y_aa");
    t[5][aa] = -1; t[5][xaa] = y;
    t[5][va] = (1 - y) * constant("f_va_aa"); t[5][bu] = (1 - y) * constant("f_bu_aa"); t[5][pro] = (1 - y) * constant("f_pro_aa");
    t[5][ac] = (1 - y) * constant("f_ac_aa"); t[5][h2] = (1 - y) * constant("f_h2_aa");
    y = constant("Y_fa"); f = constant("f_ac_fa");
    t[6][fa] = -1; t[6][xfa] = y; t[6][ac] = (1 - y) * f; t[6][h2] = (1 - y) * (1 - f);
    y = constant("Y_c4");
    t[7][va] = -1; t[7][xc4] = y; t[7][pro] = (1 - y) * constant("f_pro_va");
    t[7][ac] = (1 - y) * 0.31; t[7][h2] = (1 - y) * 0.15;
    f = constant("f_ac_bu");
    t[8][bu] = -1; t[8][xc4] = y; t[8][ac] = (1 - y) * f; t[8][h2] = (1 - y) * (1 - f);
    y = constant("Y_pro"); f = constant("f_ac_pro");
    t[9][pro] = -1; t[9][xpro] = y; t[9][ac] = (1 - y) * f; t[9][h2] = (1 - y) * (1 - f);
    y = constant("Y_ac"); t[10][ac] = -1; t[10][xac] = y; t[10][ch4] = 1 - y;
    y = constant("Y_h2"); t[11][h2] = -1; t[11][xh2] = y; t[11][ch4] = 1 - y;
    for (int i = 0; i < 7; i++) { t[12 + i][xsu + i] = -1; t[12 + i][xc] = 1; }

    int k = 0;
    for (int p = 0; p < PROCESSES; p++) {
        for (int i = 0; i < STATES; i++) {
            if (i == ic || i == in) continue;
            t[p][ic] -= t[p][i] * carbon[i];
            t[p][in] -= t[p][i] * nitrogen[i];
        }
        m->start[p] = k;
        for (int i = 0; i < STATES; i++)
            if (t[p][i] != 0) { m->state[k] = i; m->nu[k++] = t[p][i]; }
    }
    m->start[PROCESSES] = k;
}

static Model model(void) {
    Model m = {0};
    m.k_dis = constant("k_dis"); m.k_ch = constant("k_hyd_ch"); m.k_pr = constant("k_hyd_pr"); m.k_li = constant("k_hyd_li");
    m.k_su = constant("k_m_su"); m.k_aa = constant("k_m_aa"); m.k_fa = constant("k_m_fa"); m.k_c4 = constant("k_m_c4");
    m.k_pro = constant("k_m_pro"); m.k_ac = constant("k_m_ac"); m.k_h2 = constant("k_m_h2"); m.k_dec = constant("k_dec");
    m.ks_in = constant("K_S_IN"); m.ks_su = constant("K_S_su"); m.ks_aa = constant("K_S_aa"); m.ks_fa = constant("K_S_fa");
    m.ks_c4 = constant("K_S_c4"); m.ks_pro = constant("K_S_pro"); m.ks_ac = constant("K_S_ac"); m.ks_h2 = constant("K_S_h2");
    m.ki_fa = constant("K_I_h2_fa"); m.ki_c4 = constant("K_I_h2_c4"); m.ki_pro = constant("K_I_h2_pro"); m.ki_nh3 = constant("K_I_nh3");
    hill("aa", &m.n_aa, &m.kn_aa); hill("ac", &m.n_ac, &m.kn_ac); hill("h2", &m.n_h2, &m.kn_h2);
    m.kw = hoff(pow(10, -constant("pK_w")), 55900);
    m.va = pow(10, -constant("pK_a_va")); m.bu = pow(10, -constant("pK_a_bu"));
    m.pro = pow(10, -constant("pK_a_pro")); m.ac = pow(10, -constant("pK_a_ac"));
    m.co2 = hoff(pow(10, -constant("pK_a_co2")), 7646);
    m.nh4 = hoff(pow(10, -constant("pK_a_IN")), 51965);
    m.h_co2 = hoff(constant("K_H_co2"), -19410); m.h_ch4 = hoff(constant("K_H_ch4"), -14240); m.h_h2 = hoff(constant("K_H_h2"), -4180);
    m.p_h2o = constant("p_h2o") * exp(5290 * (1 / constant("T_base") - 1 / TEMPERATURE));
    m.p_atm = constant("P_atm"); m.k_p = constant("k_P"); m.k_l_a = constant("k_L_a"); m.rt = constant("R") * TEMPERATURE;
    stoichiometry(&m);
    m.ion = 1e-7;
    return m;
}

/* Protons from the charge balance: Newton from the last one. */
static double protons(Model *m, const double *y) {
    double h = m->ion;
    const double fixed = y[cat] - y[an];
    const double amount[] = {y[ic], y[ac] / 64, y[pro] / 112, y[bu] / 160, y[va] / 208};
    const double k[] = {m->co2, m->ac, m->pro, m->bu, m->va};
    for (int tries = 0; tries < 100; tries++) {
        double inverse = 1 / (m->nh4 + h);
        double charge = fixed + h - m->kw / h + y[in] * h * inverse;
        double slope = 1 + m->kw / (h * h) + y[in] * m->nh4 * inverse * inverse;
        for (int i = 0; i < 5; i++) {
            inverse = 1 / (k[i] + h);
            charge -= amount[i] * k[i] * inverse;
            slope += amount[i] * k[i] * inverse * inverse;
        }
        double next = h - charge / slope;
        if (!(next > 0)) next = h / 10;
        double change = fabs(next - h);
        h = next;
        if (change <= 1e-13 * h) break;
    }
    return m->ion = h;
}

/* The plain limits give whole exponents. */
static double power(double h, double n) {
    return n == 2 ? h * h : n == 3 ? h * h * h : pow(h, n);
}

static int slope(sunrealtype t, N_Vector state, N_Vector derivative, void *user) {
    (void)t;
    Model *m = user;
    const double *y = N_VGetArrayPointer(state);
    double *d = N_VGetArrayPointer(derivative);
    double h = protons(m, y), r[PROCESSES];
    double i_in = y[in] / (y[in] + m->ks_in);
    double i_aa = i_in * m->kn_aa / (m->kn_aa + power(h, m->n_aa));
    double i_ac = i_in * m->kn_ac / (m->kn_ac + power(h, m->n_ac));
    double i_h2 = i_in * m->kn_h2 / (m->kn_h2 + power(h, m->n_h2));
    double nh3 = y[in] * m->nh4 / (m->nh4 + h);
    double c4 = m->k_c4 * y[xc4] * i_aa / (1 + y[h2] / m->ki_c4) / (y[va] + y[bu] + 1e-6);
    r[0] = m->k_dis * y[xc];
    r[1] = m->k_ch * y[ch];
    r[2] = m->k_pr * y[pr];
    r[3] = m->k_li * y[li];
    r[4] = m->k_su * y[su] / (m->ks_su + y[su]) * y[xsu] * i_aa;
    r[5] = m->k_aa * y[aa] / (m->ks_aa + y[aa]) * y[xaa] * i_aa;
    r[6] = m->k_fa * y[fa] / (m->ks_fa + y[fa]) * y[xfa] * i_aa / (1 + y[h2] / m->ki_fa);
    r[7] = c4 * y[va] / (m->ks_c4 + y[va]) * y[va];
    r[8] = c4 * y[bu] / (m->ks_c4 + y[bu]) * y[bu];
    r[9] = m->k_pro * y[pro] / (m->ks_pro + y[pro]) * y[xpro] * i_aa / (1 + y[h2] / m->ki_pro);
    r[10] = m->k_ac * y[ac] / (m->ks_ac + y[ac]) * y[xac] * i_ac / (1 + nh3 / m->ki_nh3);
    r[11] = m->k_h2 * y[h2] / (m->ks_h2 + y[h2]) * y[xh2] * i_h2;
    for (int i = 0; i < 7; i++) r[12 + i] = m->k_dec * y[xsu + i];

    memset(d, 0, SIZE * sizeof *d);
    for (int p = 0; p < PROCESSES; p++)
        for (int k = m->start[p]; k < m->start[p + 1]; k++) d[m->state[k]] += m->nu[k] * r[p];

    double p_h2 = y[gh2] * m->rt / 16, p_ch4 = y[gch4] * m->rt / 64, p_co2 = y[gco2] * m->rt;
    double over = p_h2 + p_ch4 + p_co2 + m->p_h2o - m->p_atm;
    double q = over > 0 ? m->k_p * over : 0;
    const int liquid[] = {h2, ch4, ic};
    double co2 = y[ic] * h / (m->co2 + h);
    const double pass[] = {m->k_l_a * (y[h2] - 16 * m->h_h2 * p_h2), m->k_l_a * (y[ch4] - 64 * m->h_ch4 * p_ch4),
                           m->k_l_a * (co2 - m->h_co2 * p_co2)};
    for (int g = 0; g < 3; g++) {
        d[liquid[g]] -= pass[g];
        d[gh2 + g] = pass[g] * VOLUME / HEADSPACE - y[gh2 + g] * q / HEADSPACE;
    }
    d[OUT] = q * (p_h2 + p_ch4 + p_co2) / m->p_atm;
    return 0;
}

/* --- one world --- */

typedef struct { double start[STATES], influent[STATES]; } Conditions;

static Conditions conditions(void) {
    Conditions c;
    for (int i = 0; i < STATES; i++) {
        c.influent[i] = i < LIQUID ? table("reference/adm1_steady_state.csv", NAME[i], 2) : 0;
        c.start[i] = table("reference/adm1_steady_state.csv", NAME[i], 3);
    }
    return c;
}

/* The scatter of crates/fenlamp/examples/ensemble_speed.rs. */
static double spread(int world, double step) { double v = (world + 0.5) * step; return 0.8 + 0.4 * (v - floor(v)); }

typedef struct { long steps, slopes, jacobians; } Effort;

/* Runs `world` (-1: no scatter); daily dry gas goes to `gas`, end state to `end`. */
static Effort run(Model m, const Conditions *c, int world, int days, double rtol, double *gas, double *ends) {
    double feed[LIQUID];
    memcpy(feed, c->influent, sizeof feed);
    if (world >= 0) {
        double strength = spread(world, 0.754877666), rate = spread(world, 0.569840291);
        for (int i = xc; i <= li; i++) feed[i] *= strength;
        m.k_ch *= rate; m.k_pr *= rate; m.k_li *= rate;
    }
    SUNContext context;
    if (SUNContext_Create(NULL, &context)) fail("context");
    N_Vector state = N_VNew_Serial(SIZE, context), atol = N_VNew_Serial(SIZE, context);
    double *y = N_VGetArrayPointer(state), *a = N_VGetArrayPointer(atol);
    memcpy(y, c->start, sizeof c->start);
    /* Floors as in the engine: a thousandth of what matters, tightened with rtol. */
    double tight = rtol < 1e-3 ? rtol / 1e-3 : 1;
    for (int i = 0; i < SIZE; i++) a[i] = 1e-4 * tight;
    a[h2] = 1e-9 * tight; a[gh2] = 1e-7 * tight;
    a[ic] = a[in] = a[cat] = a[an] = a[gco2] = 1e-5 * tight;
    for (int i = xsu; i <= xh2; i++) a[i] = 1e-5 * tight;
    a[OUT] = 1e9; /* follows, does not steer */

    void *cvode = CVodeCreate(CV_BDF, context);
    SUNMatrix matrix = SUNDenseMatrix(SIZE, SIZE, context);
    SUNLinearSolver solver = SUNLinSol_Dense(state, matrix, context);
    y[OUT] = 0;
    if (CVodeInit(cvode, slope, 0, state) || CVodeSVtolerances(cvode, rtol, atol) || CVodeSetUserData(cvode, &m) ||
        CVodeSetLinearSolver(cvode, solver, matrix) || CVodeSetMaxNumSteps(cvode, 100000)) fail("set-up");
    Effort effort = {0};
    for (int day = 0; day < days; day++) {
        for (int i = 0; i < LIQUID; i++) y[i] += REPLACED * (feed[i] - y[i]);
        y[OUT] = 0;
        double t;
        if (CVodeReInit(cvode, 0, state) || CVodeSetStopTime(cvode, 1)) fail("restart");
        if (CVode(cvode, 1, state, &t, CV_NORMAL) < 0) fail("a day could not be solved");
        gas[day] = y[OUT];
        if (ends) memcpy(ends + day * STATES, y, STATES * sizeof *y);
        long n;
        CVodeGetNumSteps(cvode, &n); effort.steps += n;
        CVodeGetNumRhsEvals(cvode, &n); effort.slopes += n;
        CVodeGetNumLinRhsEvals(cvode, &n); effort.slopes += n;
        CVodeGetNumJacEvals(cvode, &n); effort.jacobians += n;
    }
    CVodeFree(&cvode);
    SUNLinSolFree(solver);
    SUNMatDestroy(matrix);
    N_VDestroy(state);
    N_VDestroy(atol);
    SUNContext_Free(&context);
    return effort;
}

/* --- checks --- */

static void against_oracle(const Model *m, const Conditions *c) {
    enum { DAYS = 30, FIRST = 6 }; /* day,pH,q_gas,ch4_dry_fraction,ch4,ch4_dry_fraction_end, states */
    double gas[DAYS], ends[DAYS * STATES], worst_state = 0, worst_gas = 0;
    const char *worst_name = "";
    run(*m, c, -1, DAYS, 1e-9, gas, ends);
    FILE *file = open_or_fail("validation/oracles/adm1_daily_fed.csv");
    char line[4096];
    int day = 0;
    while (fgets(line, sizeof line, file)) {
        if (line[0] < '0' || line[0] > '9' || day == DAYS) continue;
        double field[FIRST + STATES];
        char *at = line;
        for (int i = 0; i < FIRST + STATES; i++) { field[i] = strtod(at, &at); if (*at == ',') at++; }
        double off = fabs(gas[day] / (field[4] / field[3]) - 1);
        if (off > worst_gas) worst_gas = off;
        for (int i = 0; i < STATES; i++) {
            off = fabs(ends[day * STATES + i] / field[FIRST + i] - 1);
            if (off > worst_state) { worst_state = off; worst_name = NAME[i]; }
        }
        day++;
    }
    fclose(file);
    printf("oracle: %d days, states within %.1e (%s), daily gas within %.1e\n", day, worst_state, worst_name, worst_gas);
    if (day != DAYS || !(worst_state < 1e-4) || !(worst_gas < 1e-5)) fail("differs from the oracle");
}

static double seconds(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return t.tv_sec + 1e-9 * t.tv_nsec;
}

int main(int count, char **given) {
    int first = 0, last = 0, days = 365, check = 0, oracle = 0;
    double rtol = 1e-4;
    for (int i = 1; i < count; i++) {
        const char *value = i + 1 < count ? given[i + 1] : "";
        if (!strcmp(given[i], "--check")) check = 1;
        else if (!strcmp(given[i], "--oracle")) oracle = 1;
        else if (!strcmp(given[i], "--first")) { first = atoi(value); i++; }
        else if (!strcmp(given[i], "--last")) { last = atoi(value); i++; }
        else if (!strcmp(given[i], "--days")) { days = atoi(value); i++; }
        else if (!strcmp(given[i], "--rtol")) { rtol = atof(value); i++; }
        else fail("see the head of cvode_adm1.c for the options");
    }
    FILE *file = open_or_fail("reference/adm1_constants.csv");
    char head[1024];
    if (!fgets(head, sizeof head, file)) fail("no constants");
    fclose(file);
    value_column = 0;
    for (char *part = strtok(head, ",\n"); part && strcmp(part, "value"); part = strtok(NULL, ",\n")) value_column++;
    const Model m = model();
    const Conditions c = conditions();
    if (oracle) { against_oracle(&m, &c); return 0; }

    double *gas = malloc(2 * days * sizeof *gas), worst = 0;
    if (!gas) fail("memory");
    Effort sum = {0};
    double start = seconds();
    clock_t processor = clock();
    for (int w = first; w <= last; w++) {
        Effort e = run(m, &c, w, days, rtol, gas, NULL);
        sum.steps += e.steps; sum.slopes += e.slopes; sum.jacobians += e.jacobians;
        if (check) {
            run(m, &c, w, days, 1e-8, gas + days, NULL);
            for (int d = 0; d < days; d++) {
                double off = fabs(gas[d] / gas[days + d] - 1);
                if (!(off <= worst)) worst = off;
            }
        }
    }
    double took = seconds() - start, busy = (double)(clock() - processor) / CLOCKS_PER_SEC;
    int worlds = last - first + 1;
    if (check) printf("rtol %.1e: daily gas within %.3f %% of the tight solution\n", rtol, 100 * worst);
    else printf("%d worlds, %d days, rtol %.1e: %.3f s, CPU s %.3f ; a world: %ld steps, %ld slopes, %ld Jacobians; worlds per second %.3f\n",
                worlds, days, rtol, took, busy, sum.steps / worlds, sum.slopes / worlds, sum.jacobians / worlds, worlds / took);
    free(gas);
    return 0;
}
