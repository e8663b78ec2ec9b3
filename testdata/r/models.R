# Two models of caged rockfish, fitted once in R; the Go tests compare with what
# this prints. Run in this folder: Rscript models.R > models.out
# Data: rockfish_cages.csv, the caged rows of the 2022 barotrauma records of the US
# West Coast council's groundfish team, dwarf species left out, depth the geometric
# middle of the fish.
options(digits = 10)
cat(R.version.string, "\n")
cat("lme4", as.character(packageVersion("lme4")), "\n")
cat("metafor", as.character(packageVersion("metafor")), "\n")
d <- read.csv("rockfish_cages.csv")
d$x <- log(d$depth_m / 50)
g <- glm(cbind(dead, n - dead) ~ x, family = binomial, data = d, epsilon = 1e-14)
s <- summary(g)$coefficients
cat("glm", "intercept", s[1, 1], "se", s[1, 2], "\n")
cat("glm", "slope", s[2, 1], "se", s[2, 2], "\n")
cat("glm", "deviance", deviance(g), "\n")
suppressMessages(library(lme4))
m <- glmer(cbind(dead, n - dead) ~ x + (1 | species), family = binomial, data = d, nAGQ = 1,
           control = glmerControl(optimizer = "bobyqa", tolPwrss = 1e-12, optCtrl = list(rhoend = 1e-10, maxfun = 1e5)))
s <- summary(m)$coefficients
cat("glmer", "intercept", s[1, 1], "se", s[1, 2], "\n")
cat("glmer", "slope", s[2, 1], "se", s[2, 2], "\n")
cat("glmer", "sd_species", as.data.frame(VarCorr(m))$sdcor[1], "\n")
suppressMessages(library(metafor))
# One effect for each row: the pooled share of deaths in the usual meta-analysis.
r <- rma.glmm(measure = "PLO", xi = dead, ni = n, mods = ~ x, data = d, nAGQ = 1)
cat("rma.glmm", "intercept", coef(r)[1], "se", r$se[1], "\n")
cat("rma.glmm", "slope", coef(r)[2], "se", r$se[2], "\n")
cat("rma.glmm", "sd_row", sqrt(r$tau2), "\n")
